import { normalTailInverse } from '../numeric/normal.ts';
import type { Burst } from '../../model/time-structure.ts';

/** What stands out of an envelope. */
export interface BurstsFound {
  readonly bursts: readonly Burst[];
  readonly baseDb: number;
  readonly thresholdDb: number;
}

/** Expected number of bursts in a whole record of quiet noise. A choice of this tool: one in twenty records. */
const FALSE_BURSTS = 0.05;
/** Bursts stand at least this far over the base, in dB: a converter's load changes move a floor by less. A choice of this tool. */
const LEAST_OVER_DB = 2;
/** A burst ends where the power has come back this share of the way; so a ragged top is one burst. A choice of this tool. */
const END_SHARE = 0.5;
/** Distances of quantiles of a Gaussian, in standard deviations: from 25 % to 50 %, and from 12.5 % to 25 %. */
const QUARTILE_SIGMA = 0.67449;
const OCTILE_TO_QUARTILE_SIGMA = 0.47586;

/**
 * Stretches of an envelope that stand over its quiet part.
 *
 * Base and spread come from the lower quarter of the steps, which a signal that is on for less than three quarters of the time does not
 * reach: the spread from the distance between the 12.5 and 25 % points, the base from the latter. Where the signal is on for long
 * both come out larger, so bursts are missed and none invented. The threshold is what Gaussian steps exceed 0.05 times in the whole
 * record (decibels of averaged noise have the shorter tail above), and 2 dB at least. A burst ends where the power has fallen half-way
 * (in dB) from the threshold to the base.
 *
 * @param powerDb of each step; not finite: taken as quiet
 * @param stepS length of a step; @param startS time of the first step's start
 */
export function findBursts(powerDb: Float64Array, stepS: number, startS: number): BurstsFound {
  const sorted = powerDb.filter((value) => Number.isFinite(value)).sort();
  if (sorted.length < 8) return { bursts: [], baseDb: sorted[0] ?? -Infinity, thresholdDb: Infinity };
  const quartileDb = sorted[sorted.length >> 2]!;
  const spreadDb = (quartileDb - sorted[sorted.length >> 3]!) / OCTILE_TO_QUARTILE_SIGMA;
  const baseDb = quartileDb + QUARTILE_SIGMA * spreadDb;
  // a spread from n steps is itself known to about 1.5/√n: two standard deviations are allowed for
  const doubt = 1 + 3 / Math.sqrt(sorted.length);
  const overDb = normalTailInverse(FALSE_BURSTS / sorted.length) * spreadDb * doubt;
  const thresholdDb = baseDb + Math.max(LEAST_OVER_DB, overDb);
  const endDb = baseDb + END_SHARE * (thresholdDb - baseDb);

  const bursts: Burst[] = [];
  for (let i = 0; i < powerDb.length; i++) {
    if (!(powerDb[i]! > thresholdDb)) continue;
    let first = i;
    while (first > 0 && powerDb[first - 1]! > endDb) first--;
    let last = i;
    while (last + 1 < powerDb.length && powerDb[last + 1]! > endDb) last++;
    let power = 0;
    for (let k = first; k <= last; k++) power += 10 ** (powerDb[k]! / 10);
    const overBaseDb = 10 * Math.log10(power / (last - first + 1)) - baseDb;
    bursts.push({ startS: startS + first * stepS, endS: startS + (last + 1) * stepS, overBaseDb });
    i = last;
  }
  return { bursts, baseDb, thresholdDb };
}
