import { studentTwoSided } from '../numeric/student-quantile.ts';
import { nearestIndex, type SideTrace } from './side-trace.ts';
import { lowerBound } from '../numeric/lower-bound.ts';

/** What one trace says of a line that may lie anywhere in a window. */
export interface WindowLimit {
  /** Upper limit on the line's power, in dB of the common unit; null where the trace does not cover the window. */
  readonly limitDb: number | null;
  /** Where in the window the limit comes from. */
  readonly atHz: number;
  /** The local mean noise power there, common unit. */
  readonly floorDb: number;
  readonly uncoveredWhy: string | null;
}

export interface Window {
  readonly lowHz: number;
  readonly highHz: number;
  /** Where the line is most likely. */
  readonly centreHz: number;
}

/** Above this loss between two points a line can fall through; a choice of this tool: three quarters of its power. */
const LARGEST_LOSS_DB = 6;

/** Limits of one trace at one confidence, with the tables kept between calls. */
export class TraceLimits {
  readonly #trace: SideTrace;
  readonly #tableOf: ((overNoiseDb: number) => number) | null;
  /** One-sided normal quantile of the confidence. */
  readonly #z: number;
  readonly #floorDoubtDb: number;
  readonly #lastIndices: Int32Array;

  /** `tableFor` gives the table of a number of averages at this confidence; traces taken alike share it. */
  constructor(trace: SideTrace, confidence: number, tableFor: (averages: number) => (overNoiseDb: number) => number) {
    const { floor } = trace.triaged.triage;
    this.#trace = trace;
    this.#z = studentTwoSided(2 * (1 - confidence), Infinity);
    this.#tableOf = floor.statistic === 'chi-square' && floor.averages !== null ? tableFor(floor.averages) : null;
    this.#lastIndices = Int32Array.from(trace.triaged.triage.spurs, (spur) => spur.lastIndex);
    this.#floorDoubtDb = this.#z * floor.sigmaDb;
  }

  /**
   * The largest limit over the points of the window: whatever the line's frequency in it, its power is not above.
   *
   * Points of the spurs marked in `skip` are passed over (they are known to be something else); null skips none. The loss of a line
   * that falls between two points is added. A point holding a stronger neighbour's skirt or a hump gives a limit as high as that.
   * With noise that chi-square does not describe nothing is subtracted: a steady line of power S reads S or more with every
   * averaging and detector but those that keep minima, and those prove nothing here.
   */
  within(window: Window, skip: Uint8Array | null): WindowLimit {
    const { frequencyHz, levelDb, meanDb, offsetDb, taken, triaged } = this.#trace;
    const { spurs, floor } = triaged.triage;
    const n = frequencyHz.length;
    const nearest = nearestIndex(frequencyHz, window.centreHz);
    const nothing = (uncoveredWhy: string): WindowLimit => ({
      limitDb: null,
      atHz: window.centreHz,
      floorDb: meanDb[nearest]! + offsetDb,
      uncoveredWhy,
    });
    const spacing = localSpacing(frequencyHz, nearest);
    if (window.centreHz < frequencyHz[0]! - spacing / 2 || window.centreHz > frequencyHz[n - 1]! + spacing / 2)
      return nothing('lies outside the span');
    if (taken.averaging === 'min-hold' || taken.detector === 'negative-peak')
      return nothing('was taken keeping minima, which hide lines');
    const lossDb = betweenPointsLossDb(frequencyHz, nearest, window, this.#trace.rbwHz);
    if (lossDb > LARGEST_LOSS_DB) return nothing('has points too far apart for its bandwidth: a line can fall between');

    let first = Math.min(nearest, lowerBound(frequencyHz, window.lowHz));
    let last = Math.max(nearest, lowerBound(frequencyHz, window.highHz) - 1);
    if (window.highHz - window.lowHz > spacing) {
      first = Math.max(0, first - 1);
      last = Math.min(n - 1, last + 1);
    }
    let bestDb = -Infinity;
    let bestAt = nearest;
    let blank = 0;
    let spur = skip === null ? spurs.length : lowerBound(this.#lastIndices, first);
    for (let j = first; j <= last; j++) {
      const level = levelDb[j]!;
      if (Number.isNaN(level)) {
        blank++;
        continue;
      }
      while (spur < spurs.length && spurs[spur]!.lastIndex < j) spur++;
      if (spur < spurs.length && spurs[spur]!.firstIndex <= j && skip![spur] === 1) continue;
      const mean = meanDb[j]!;
      let limit: number;
      if (this.#tableOf !== null) {
        const low = mean - this.#floorDoubtDb;
        limit = low + this.#tableOf(level - low);
      } else {
        limit = Math.max(level, mean) + this.#z * floor.pointSpreadDb;
      }
      if (limit > bestDb) {
        bestDb = limit;
        bestAt = j;
      }
    }
    if (blank > 0 && (Number.isNaN(levelDb[nearest]!) || blank > 0.1 * (last - first + 1)))
      return nothing('is blank there');
    if (bestDb === -Infinity) return nothing('has nothing but other lines there');
    return {
      limitDb: bestDb + lossDb + offsetDb,
      atHz: frequencyHz[bestAt]!,
      floorDb: meanDb[nearest]! + offsetDb,
      uncoveredWhy: null,
    };
  }
}

/**
 * Loss of a line at the worst place of the window against the nearest point, Gaussian filter: 3.01·(2d/RBW)² dB at distance d.
 *
 * The window may be narrower than half a spacing: then the line's place between the points is known.
 */
function betweenPointsLossDb(frequencyHz: Float64Array, nearest: number, window: Window, rbwHz: number): number {
  const half = localSpacing(frequencyHz, nearest) / 2;
  const at = frequencyHz[nearest]!;
  const farthest = Math.min(half, Math.max(Math.abs(window.lowHz - at), Math.abs(window.highHz - at)));
  return 10 * Math.log10(2) * ((2 * farthest) / rbwHz) ** 2;
}

/** Distance between neighbouring points around one. */
export function localSpacing(frequencyHz: Float64Array, index: number): number {
  const low = Math.max(0, index - 1);
  const high = Math.min(frequencyHz.length - 1, index + 1);
  return (frequencyHz[high]! - frequencyHz[low]!) / Math.max(1, high - low);
}
