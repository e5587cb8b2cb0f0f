import { FEWEST_SIDE_POINTS } from './local-scatter.ts';
import { isOpen, nearestPoint, type Residual } from './residual.ts';

/** A predicted harmonic. */
export interface Place {
  readonly hz: number;
  readonly sigmaHz: number;
  /** Peak-to-peak deliberate frequency modulation there. */
  readonly spreadHz: number;
}

/** What the points around one predicted harmonic say of a line there. */
export interface Tooth {
  /** Estimate of the rise by the line, in the stacked quantity. */
  readonly rise: number;
  readonly variance: number;
  readonly skewness: number;
  /** Weights of the estimate, and the share of the line's power that reaches each weighted point. */
  readonly weights: readonly number[];
  readonly shares: readonly number[];
}

/** The points about a place are used out to this many line widths. */
const REACH_WIDTHS = 1.2;
/** At least this share of the line must fall on free points. A choice of this tool. */
const LEAST_SHARE = 0.5;

/** Gauss–Hermite nodes of a normal distribution and their weights (Abramowitz & Stegun table 25.10, n = 5; from memory, sums checked in the tests). */
const NODES = [-2.8569700138728, -1.3556261799743, 0, 1.3556261799743, 2.8569700138728];
const NODE_WEIGHTS = [0.0112574113277, 0.2220759220056, 0.5333333333333, 0.2220759220056, 0.0112574113277];

/**
 * Least squares of rise·g to the free points around a predicted harmonic, less their local mean; g is the filter's response smeared by
 * the uncertainty of the place and by the source's own modulation, so a place less well known weighs less.
 *
 * @param own the comb whose teeth are not in its own way; 0 for none (see Residual.toothOf)
 * @param toothGapHz distance of this comb's teeth: its neighbours are no part of the local mean
 * @returns null where lines, other combs or the ends of the trace leave too little
 */
export function toothAt(residual: Residual, place: Place, own: number, toothGapHz: number): Tooth | null {
  const { frequencyHz, spacingHz, lineWidthHz, value, free, toothOf, covariance, sidePoints } = residual;
  const n = frequencyHz.length;
  const reachHz = REACH_WIDTHS * lineWidthHz + 2 * place.sigmaHz + place.spreadHz / 2;
  const first = nearestPoint(frequencyHz, spacingHz, place.hz - reachHz);
  const last = nearestPoint(frequencyHz, spacingHz, place.hz + reachHz);
  if (place.hz < frequencyHz[0]! || place.hz > frequencyHz[n - 1]!) return null;
  const indices: number[] = [];
  const shares: number[] = [];
  let all = 0;
  let open = 0;
  for (let i = first; i <= last; i++) {
    const g = shareAt(residual, place, frequencyHz[i]! - place.hz);
    all += g * g;
    if (!isOpen(residual, i, place.hz, place.sigmaHz, own)) continue;
    open += g * g;
    indices.push(i);
    shares.push(g);
  }
  if (!(open > LEAST_SHARE * all) || open < 1e-6) return null;

  const centre = (first + last) >> 1;
  const half = (last - first) >> 1;
  let sum = 0;
  let points = 0;
  for (let i = Math.max(0, centre - half - sidePoints); i <= Math.min(n - 1, centre + half + sidePoints); i++) {
    if (free[i] === 0 || toothOf[i] !== 0) continue;
    const turns = (frequencyHz[i]! - place.hz) / toothGapHz;
    if (Math.abs(turns - Math.round(turns)) * toothGapHz < reachHz) continue;
    sum += value[i]!;
    points++;
  }
  if (points < FEWEST_SIDE_POINTS) return null;
  const mean = sum / points;

  const weights = shares.map((g) => g / open);
  let rise = 0;
  let total = 0;
  let variance = 0;
  let cubes = 0;
  for (let a = 0; a < weights.length; a++) {
    rise += weights[a]! * (value[indices[a]!]! - mean);
    total += weights[a]!;
    cubes += weights[a]! ** 3;
    for (let b = 0; b < weights.length; b++)
      variance += weights[a]! * weights[b]! * (covariance[Math.abs(indices[a]! - indices[b]!)] ?? 0);
  }
  const alone = weights.reduce((square, weight) => square + weight * weight, 0) * covariance[0]!;
  // correlated points act as one: the skewness of their sum falls no faster than its variance says
  const skewness =
    (residual.skewness * cubes * covariance[0]! ** 1.5 * Math.max(1, variance / alone) ** 2) / variance ** 1.5;
  // neighbouring teeth share the points between them
  const apart = Math.min(1, toothGapHz / (2 * sidePoints * spacingHz));
  const ofMean = (longRun(covariance) / Math.max(1, points * apart)) * total * total;
  return { rise, variance: variance + ofMean, skewness, weights, shares };
}

/** Variance of one point times how many neighbours share its noise. */
function longRun(covariance: Float64Array): number {
  let sum = covariance[0]!;
  for (let lag = 1; lag < covariance.length; lag++) sum += 2 * Math.max(0, covariance[lag]!);
  return sum;
}

/** Share of a line's power that reaches a point at an offset from its predicted place. */
function shareAt({ response, lineWidthHz }: Residual, { sigmaHz, spreadHz }: Place, offsetHz: number): number {
  const nodes = sigmaHz < 0.05 * lineWidthHz ? 1 : NODES.length;
  const steps = spreadHz < 0.2 * lineWidthHz ? 1 : Math.ceil((3 * spreadHz) / lineWidthHz) + 2;
  let share = 0;
  for (let a = 0; a < nodes; a++)
    for (let b = 0; b < steps; b++) {
      const shift = (nodes === 1 ? 0 : NODES[a]! * sigmaHz) + (steps === 1 ? 0 : ((b + 0.5) / steps - 0.5) * spreadHz);
      share += (nodes === 1 ? 1 : NODE_WEIGHTS[a]!) * response(offsetHz - shift);
    }
  return share / steps;
}
