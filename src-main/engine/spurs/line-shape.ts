/** 4·ln 2: a Gaussian of full width one at half height is exp(−4 ln 2·x²). */
const FOUR_LN2 = 4 * Math.LN2;

/** Power response of a Gaussian resolution filter of half-power width `widthHz` at an offset; 1 at the centre. */
export function gaussianResponse(offsetHz: number, widthHz: number): number {
  const x = offsetHz / widthHz;
  return Math.exp(-FOUR_LN2 * x * x);
}

export interface LineFit {
  readonly frequencyHz: number;
  readonly frequencySigmaHz: number;
  /** Line power over the floor (a ratio, noise not included). */
  readonly signal: number;
  /** One standard deviation of `signal`. */
  readonly signalSigma: number;
}

/**
 * Least squares of 1 + S·g(f − f0) to powers over the floor, each weighted by the scatter of a steady line in averaged noise:
 * variance (1 + 2S·g)/K. Gauss-Newton on (S, f0) with the weights renewed, from the strongest point.
 *
 * The uncertainty is that of the model (inverse of the normal matrix), times √(1 + 2r) where neighbouring points share noise
 * with correlation r.
 *
 * @param ratio power over mean noise of each point @param looks K
 * @param boundHz the centre may not leave this distance from the start
 * @returns null where the points cannot carry two parameters
 */
export function fitLine(
  frequencyHz: Float64Array,
  ratio: Float64Array,
  first: number,
  last: number,
  peak: number,
  widthHz: number,
  looks: number,
  correlation: number,
  boundHz: number,
): LineFit | null {
  if (last - first < 2) return null;
  const start = frequencyHz[peak]!;
  let centre = start;
  let signal = Math.max(ratio[peak]! - 1, 1e-3);
  let a11 = 0;
  let a12 = 0;
  let a22 = 0;
  for (let round = 0; round < 12; round++) {
    a11 = a12 = a22 = 0;
    let b1 = 0;
    let b2 = 0;
    for (let i = first; i <= last; i++) {
      const offset = frequencyHz[i]! - centre;
      const g = gaussianResponse(offset, widthHz);
      const slope = signal * g * ((2 * FOUR_LN2 * offset) / (widthHz * widthHz));
      const model = 1 + signal * g;
      // without the shape's own error, strong lines would hang on the points where the filter is known least
      const variance = (1 + 2 * signal * g) / looks + (shapeError(offset / widthHz) * signal * g) ** 2;
      const r = ratio[i]! - model;
      a11 += (g * g) / variance;
      a12 += (g * slope) / variance;
      a22 += (slope * slope) / variance;
      b1 += (g * r) / variance;
      b2 += (slope * r) / variance;
    }
    const determinant = a11 * a22 - a12 * a12;
    if (!(determinant > 1e-12 * a11 * a22)) return null;
    const dSignal = (b1 * a22 - b2 * a12) / determinant;
    const dCentre = (a11 * b2 - a12 * b1) / determinant;
    signal = Math.max(signal + dSignal, 0.05 * signal);
    centre += Math.max(-0.3 * widthHz, Math.min(0.3 * widthHz, dCentre));
    if (Math.abs(centre - start) > boundHz) return null;
    if (Math.abs(dCentre) < 1e-6 * widthHz && Math.abs(dSignal) < 1e-6 * signal) break;
  }
  const determinant = a11 * a22 - a12 * a12;
  const share = 1 + 2 * correlation;
  return {
    frequencyHz: centre,
    frequencySigmaHz: Math.sqrt((a11 / determinant) * share),
    signal,
    signalSigma: Math.sqrt((a22 / determinant) * share),
  };
}

/**
 * Relative error of the response taken for a filter that is only nearly Gaussian, `x` widths off its centre: half a per cent
 * inside the half-power points, growing to 60 % at one full width. That is the difference between a Gaussian and a
 * four-pole synchronously tuned filter of the same half-power width, (1 + 0.756·x²)⁻⁴ against 16⁻ˣ²: +15 % at 0.75, +68 % at 1.
 */
function shapeError(x: number): number {
  const beyond = Math.max(0, Math.abs(x) - 0.5);
  return 0.005 + 2.4 * beyond * beyond;
}
