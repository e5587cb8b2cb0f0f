import type { ComputedLine } from '../../model/capture.ts';
import { cosineSumResponse } from '../numeric/cosine-sum-response.ts';

/** The two shapes analysers' resolution filters come in: digital Gaussian ones, and four synchronously tuned poles. */
export type SweptShape = 'gaussian' | 'four-pole';
/** … and the known one of a spectrum that was computed of a record. */
export type FilterShape = SweptShape | ComputedLine;

const FOUR_LN2 = 4 * Math.LN2;
/** (1 + a·x²)⁻⁴ is one half at x = 1/2. */
const FOUR_POLE = 4 * (2 ** 0.25 - 1);

/** Power response at an offset, 1 at the centre and 1/2 at half of `widthHz` on either side. */
export function filterResponse(offsetHz: number, widthHz: number, shape: FilterShape): number {
  const x = offsetHz / widthHz;
  if (typeof shape === 'object') return cosineSumResponse(x * shape.halfPowerBins, shape.coefficients) ** 2;
  return shape === 'gaussian' ? Math.exp(-FOUR_LN2 * x * x) : (1 + FOUR_POLE * x * x) ** -4;
}

/** Derivative of filterResponse with respect to the line's centre. */
function centreSlope(offsetHz: number, widthHz: number, shape: FilterShape, g: number): number {
  const x = offsetHz / widthHz;
  if (typeof shape === 'object') {
    const step = 1e-4 * widthHz;
    return (
      (filterResponse(offsetHz - step, widthHz, shape) - filterResponse(offsetHz + step, widthHz, shape)) / (2 * step)
    );
  }
  return shape === 'gaussian'
    ? (g * 2 * FOUR_LN2 * x) / widthHz
    : (g * 8 * FOUR_POLE * x) / ((1 + FOUR_POLE * x * x) * widthHz);
}

export interface LineFit {
  readonly frequencyHz: number;
  readonly frequencySigmaHz: number;
  /** Line power over the floor (a ratio, noise not included). */
  readonly signal: number;
  /** One standard deviation of `signal`. */
  readonly signalSigma: number;
  /** Sum of squared residuals over the noise variance, per point beyond the two parameters; NaN where there is none. */
  readonly misfit: number;
}

/** What a fit takes as known. */
export interface FitFrame {
  readonly widthHz: number;
  readonly shape: FilterShape;
  /** Variance of the ratio of one point at a line of the given power over mean noise. */
  readonly variance: (signal: number) => number;
  /** Relative scatter of a power by the rounding of its decibels. */
  readonly rounding: number;
  /** Scale of the error that is taken for the shape (shapeError); 1 where nothing is known of it. */
  readonly doubt: number;
  /** Correlation of the noise power of neighbouring points. */
  readonly correlation: number;
  /** The centre may not leave this distance from the peak point. */
  readonly boundHz: number;
}

/** A residual this many standard deviations large is not the noise's own. A choice of this tool: one noisy point in eighty. */
const UNEXPLAINED_SIGMA = 2.5;
/** Share of a point's scatter that the fit is taken to leave in its residual, at least: with as many parameters as points it leaves none. */
const LEAST_LEFT = 0.1;

/** Relative error taken for any filter's shape: half a per cent inside the half-power points, growing to a tenth at one full width. */
export function shapeError(x: number): number {
  const beyond = Math.max(0, Math.abs(x) - 0.5);
  return 0.005 + 0.4 * beyond * beyond;
}

/**
 * Least squares of 1 + S·g(f − f0) to powers over the floor, each weighted by the scatter of a steady line in noise (see
 * line-law.ts), the rounding of the file's decibels and the shape's own error. Gauss-Newton on (S, f0) from the strongest point, weights renewed.
 *
 * The uncertainty is that of this estimator (M⁻¹·Jᵀ W C W J·M⁻¹): neighbouring points share noise with
 * correlation r^(d²/2) at a distance of d points, as amplitudes behind a Gaussian filter do. A point that misses the line by more than
 * noise, rounding and shape explain (a weaker line under the skirt, seen or not) counts with what it misses by, r²/(1 − h), h its
 * leverage: the covariance called HC2 (MacKinnon and White 1985, from memory). A common error of the axis is not in it.
 *
 * @param ratio power over mean noise of each point
 * @returns null where the points cannot carry two parameters or the fit runs away
 */
export function fitLine(
  frequencyHz: Float64Array,
  ratio: Float64Array,
  first: number,
  last: number,
  peak: number,
  frame: FitFrame,
): LineFit | null {
  const { widthHz, shape, variance, rounding, doubt, correlation, boundHz } = frame;
  const count = last - first + 1;
  if (count < 3) return null;
  const start = frequencyHz[peak]!;
  let centre = start;
  let signal = Math.max(ratio[peak]! - 1, 1e-3);
  // rows of the weighted design, kept for the covariance
  const wg = new Float64Array(count);
  const ws = new Float64Array(count);
  const noise = new Float64Array(count);
  const own = new Float64Array(count);
  // what the fit leaves at each point, squared, over the variance that is expected there
  const missed = new Float64Array(count);
  const weights = new Float64Array(count);
  let m11 = 0;
  let m12 = 0;
  let m22 = 0;
  let square = 0;
  for (let round = 0; round < 12; round++) {
    m11 = m12 = m22 = square = 0;
    let b1 = 0;
    let b2 = 0;
    for (let i = 0; i < count; i++) {
      const offset = frequencyHz[first + i]! - centre;
      const g = filterResponse(offset, widthHz, shape);
      const slope = signal * centreSlope(offset, widthHz, shape, g);
      noise[i] = Math.sqrt(variance(signal * g));
      own[i] = (rounding * (1 + signal * g)) ** 2;
      const weight = 1 / (noise[i]! ** 2 + own[i]! + (doubt * shapeError(offset / widthHz) * signal * g) ** 2);
      const r = ratio[first + i]! - 1 - signal * g;
      weights[i] = weight;
      wg[i] = weight * g;
      ws[i] = weight * slope;
      m11 += weight * g * g;
      m12 += weight * g * slope;
      m22 += weight * slope * slope;
      b1 += weight * g * r;
      b2 += weight * slope * r;
      missed[i] = weight * r * r;
      square += missed[i]!;
    }
    const determinant = m11 * m22 - m12 * m12;
    if (!(determinant > 1e-12 * m11 * m22)) return null;
    const dSignal = (b1 * m22 - b2 * m12) / determinant;
    const dCentre = (m11 * b2 - m12 * b1) / determinant;
    signal = Math.max(signal + dSignal, 0.05 * signal);
    centre += Math.max(-0.3 * widthHz, Math.min(0.3 * widthHz, dCentre));
    if (Math.abs(centre - start) > boundHz) return null;
    if (Math.abs(dCentre) < 1e-6 * widthHz && Math.abs(dSignal) < 1e-6 * signal) break;
  }
  const determinant = m11 * m22 - m12 * m12;
  for (let i = 0; i < count; i++) {
    const [a, b] = [wg[i]!, ws[i]!];
    const weight = weights[i]!;
    const leverage = (a * a * m22 - 2 * a * b * m12 + b * b * m11) / (determinant * weight);
    const excess = missed[i]! / Math.max(LEAST_LEFT, 1 - leverage);
    if (excess > UNEXPLAINED_SIGMA ** 2) own[i] = own[i]! + (excess - 1) / weight;
  }
  let c11 = 0;
  let c12 = 0;
  let c22 = 0;
  for (let i = 0; i < count; i++)
    for (let j = 0; j < count; j++) {
      const share = i === j ? 1 : correlation > 0 ? correlation ** ((i - j) ** 2 / 2) : 0;
      const c = noise[i]! * noise[j]! * share + (i === j ? own[i]! : 0);
      c11 += wg[i]! * wg[j]! * c;
      c12 += wg[i]! * ws[j]! * c;
      c22 += ws[i]! * ws[j]! * c;
    }
  const varianceOf = (a: number, b: number): number => (a * a * c11 + 2 * a * b * c12 + b * b * c22) / determinant ** 2;
  return {
    frequencyHz: centre,
    frequencySigmaHz: Math.sqrt(Math.max(0, varianceOf(-m12, m11))),
    signal,
    signalSigma: Math.sqrt(Math.max(0, varianceOf(m22, -m12))),
    misfit: count > 2 ? square / (count - 2) : NaN,
  };
}
