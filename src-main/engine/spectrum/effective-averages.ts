/**
 * How many independent averages the segments of an averaged periodogram are worth, seen by the noise of one bin.
 *
 * K_eff = K / (1 + 2·Σ_j (1 − j/K)·ρ_j), ρ_j the correlation of the powers of segments j steps apart: the square of
 * Σ w[n]·w[n + j·step] / Σ w[n]². Welch, IEEE Trans. Audio Electroacoust. 15 (1967) 70–73, his variance formula.
 *
 * @param segments K, at least 1
 * @param stepPoints samples from the start of one segment to that of the next
 * @returns 1 … K; holds for white noise over a window's width and away from 0 Hz and half the sampling rate of a real record, where
 *   a bin is worth half as much
 */
export function effectiveAverages(weights: Float64Array, segments: number, stepPoints: number): number {
  let square = 0;
  for (const w of weights) square += w * w;
  let excess = 0;
  for (let j = 1; j < segments && j * stepPoints < weights.length; j++) {
    let product = 0;
    for (let n = j * stepPoints; n < weights.length; n++) product += weights[n]! * weights[n - j * stepPoints]!;
    excess += (1 - j / segments) * (product / square) ** 2;
  }
  return segments / (1 + 2 * excess);
}
