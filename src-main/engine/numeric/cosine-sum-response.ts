/**
 * Amplitude of the transform of a long cosine sum Σ (−1)^k·a_k·cos(2πkn/N) at an offset of u bins, 1 at u = 0.
 *
 * Each cosine is a pair of shifted sin(πu)/(πu); exact as N grows, and to 1/N² relative at finite N.
 */
export function cosineSumResponse(u: number, coefficients: readonly number[]): number {
  let sum = 0;
  for (const [k, a] of coefficients.entries()) sum += (a / 2) * (sinc(u - k) + sinc(u + k));
  return sum / coefficients[0]!;
}

function sinc(u: number): number {
  return Math.abs(u) < 1e-9 ? 1 : Math.sin(Math.PI * u) / (Math.PI * u);
}
