import type { LineTable } from './line-table.ts';
import { lowerBound } from '../numeric/lower-bound.ts';

/** A fundamental that many lines agree on. */
export interface Stab {
  readonly fundamentalHz: number;
  readonly score: number;
}

/**
 * The best-supported fundamentals of a range: every active line and every harmonic number it could be gives an interval
 * of possible fundamentals [(f − w)/n, (f + w)/n]; the points covered by the most weight are returned, best first.
 *
 * Matching all lines at once is what makes a wide tolerance usable: windows of neighbouring harmonics of a ±5 %
 * source merge from n = 10 on, but all its lines still share one fundamental.
 *
 * @param weights evidence of a match on each line (larger where the spectrum is emptier)
 * @param most how many points to return; points closer than the interval that made them are one
 */
export function stabIntervals(
  lines: LineTable,
  active: Uint8Array,
  weights: Float64Array,
  matchSigma: number,
  lowHz: number,
  highHz: number,
  firstHarmonic: number,
  lastHarmonic: number,
  most: number,
): Stab[] {
  const starts: number[] = [];
  const ends: number[] = [];
  const gains: number[] = [];
  for (let n = firstHarmonic; n <= lastHarmonic; n++) {
    let i = Math.max(0, lowerBound(lines.frequencyHz, n * lowHz) - 2);
    for (; i < lines.count && lines.frequencyHz[i]! - matchSigma * lines.sigmaHz[i]! <= n * highHz; i++) {
      if (active[i] === 0) continue;
      const half = matchSigma * lines.sigmaHz[i]!;
      const start = Math.max(lowHz, (lines.frequencyHz[i]! - half) / n);
      const end = Math.min(highHz, (lines.frequencyHz[i]! + half) / n);
      if (end < start) continue;
      starts.push(start);
      ends.push(end);
      gains.push(weights[i]!);
    }
  }
  const size = starts.length;
  const byStart = orderOf(starts, lowHz, highHz);
  const byEnd = orderOf(ends, lowHz, highHz);

  // sweep: the score changes only at ends of intervals, and a maximum always begins at a start
  const peaks: { from: number; to: number; score: number }[] = [];
  let score = 0;
  let closed = 0;
  for (let s = 0; s < size; s++) {
    const from = starts[byStart[s]!]!;
    while (closed < size && ends[byEnd[closed]!]! < from) score -= gains[byEnd[closed++]!]!;
    score += gains[byStart[s]!]!;
    const nextStart = s + 1 < size ? starts[byStart[s + 1]!]! : Infinity;
    const nextEnd = ends[byEnd[closed]!]!;
    if (nextEnd < nextStart) peaks.push({ from, to: nextEnd, score }); // a local maximum
  }
  peaks.sort((a, b) => b.score - a.score);
  const chosen: Stab[] = [];
  for (const peak of peaks) {
    if (chosen.length >= most) break;
    const fundamentalHz = (peak.from + peak.to) / 2;
    const near = chosen.some((other) => Math.abs(other.fundamentalHz - fundamentalHz) <= peak.to - peak.from);
    if (!near) chosen.push({ fundamentalHz, score: peak.score });
  }
  return chosen;
}

/**
 * Indices of values in ascending order. The place within the range in 2^31 steps and the index share one exact integer, because
 * sorting plain numbers is several times faster than sorting indices by a rule. At most 2^21 values; ties by index.
 */
function orderOf(values: readonly number[], low: number, high: number): Float64Array {
  const indexRange = 2 ** 21;
  const scale = 2 ** 31 / Math.max(high - low, Number.MIN_VALUE);
  const keys = new Float64Array(values.length);
  for (let i = 0; i < keys.length; i++) keys[i] = Math.floor((values[i]! - low) * scale) * indexRange + i;
  keys.sort();
  for (let i = 0; i < keys.length; i++) keys[i] = keys[i]! % indexRange;
  return keys;
}
