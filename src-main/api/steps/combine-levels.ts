import { Refused } from '../api-problem.ts';

/** One capture's trace, ready to be laid over others. */
export interface LaidTrace {
  readonly file: string;
  /** Name of the unit that `levelDb` is decibels of. */
  readonly unit: string;
  readonly frequencyHz: Float64Array;
  readonly levelDb: Float64Array;
}

/**
 * One level a point from several traces of one axis: the largest, or the mean of their powers (in dB again).
 *
 * A point that is blank in one trace is taken from the others; blank in all, it stays blank. −∞ dB counts as no power.
 *
 * @throws Refused where axes or units differ: points of different frequencies or of different quantities have no common level
 */
export function combineLevels(traces: readonly [LaidTrace, ...LaidTrace[]], combine: 'largest' | 'mean'): Float64Array {
  const [first, ...others] = traces;
  const what = combine === 'largest' ? 'largest level' : 'mean';
  for (const other of others) {
    if (other.unit !== first.unit)
      throw new Refused(
        `${first.file} is in ${first.unit} and ${other.file} in ${other.unit}: they have no common ${what}.`,
      );
    if (!isSameAxis(first.frequencyHz, other.frequencyHz))
      throw new Refused(
        `${first.file} and ${other.file} have different frequency axes, so they have no common ${what}. Lay them over each other instead.`,
      );
  }
  const out = new Float64Array(first.levelDb.length);
  for (let i = 0; i < out.length; i++) {
    let most = NaN;
    let power = 0;
    let count = 0;
    for (const { levelDb } of traces) {
      const level = levelDb[i]!;
      if (Number.isNaN(level)) continue;
      if (!(most >= level)) most = level;
      power += 10 ** (level / 10);
      count++;
    }
    out[i] = combine === 'largest' || count === 0 ? most : 10 * Math.log10(power / count);
  }
  return out;
}

/** Equal to a thousandth of a point's spacing at both ends and in the middle. */
function isSameAxis(a: Float64Array, b: Float64Array): boolean {
  const n = a.length;
  if (n !== b.length || n === 0) return false;
  const tolerance = (1e-3 * (a[n - 1]! - a[0]!)) / Math.max(1, n - 1);
  return [0, n >> 1, n - 1].every((i) => Math.abs(a[i]! - b[i]!) <= tolerance);
}
