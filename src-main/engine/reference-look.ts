import type { TriagedTrace } from '../model/triaged-trace.ts';
import type { Look, Sight } from './evidence/sight.ts';
import { lineLimitTable } from './tracking/line-limit.ts';
import { commonScale, nearestIndex, type SideTrace } from './tracking/side-trace.ts';
import { TraceLimits } from './tracking/window-limit.ts';
import { lowerBound } from './numeric/lower-bound.ts';

/** Two captures on one level scale, and the way to look from the first into the second. */
export interface ReferenceLook {
  readonly look: Look;
  readonly here: SideTrace;
  readonly there: SideTrace;
  readonly comparable: boolean;
  /** Add to a level there to get it in the decibels of the capture here. */
  readonly offsetDb: number;
  /** Accuracy of the two frequency axes against each other, relative. */
  readonly axis: number;
  readonly warnings: readonly string[];
}

/** Standard deviations of two frequencies within which they are one; 99.7 % of Gaussian errors. */
const SAME_FREQUENCY_SIGMA = 3;
/** Part of the resolution by which a peak may be off beside its stated uncertainty: another line's skirt moves it. A choice of this tool. */
const OFF_IN_RESOLUTION = 0.1;

/** Makes the looks from one capture into another; see Sight. `confidence` is that of the limits, one-sided. */
export function lookInto(here: TriagedTrace, there: TriagedTrace, confidence: number): ReferenceLook {
  const { before, after, unit, warnings } = commonScale([here], [there]);
  const [own, other] = [before[0]!, after[0]!];
  const tables = new Map<number, (overNoiseDb: number) => number>();
  const limits = new TraceLimits(other, confidence, (averages) => {
    const table = tables.get(averages) ?? lineLimitTable(averages, confidence);
    tables.set(averages, table);
    return table;
  });
  const axis = 1e-6 * (axisPpm(own) + axisPpm(other));
  const { spurs, floor } = there.triage;
  const order = [...spurs.keys()].sort((i, j) => spurs[i]!.frequencyHz - spurs[j]!.frequencyHz);
  const frequencies = Float64Array.from(order, (i) => spurs[i]!.frequencyHz);
  const resolutionHz = Math.max(own.rbwHz, other.rbwHz, own.spacingHz, other.spacingHz);
  const widestHz = Math.max(0, ...spurs.map((spur) => (spur.shape === 'hump' ? spur.widthHz : 0)));

  const look: Look = (line, atHz, toleranceHz) => {
    if (!unit.comparable)
      return { is: 'unusable', outcome: 'not-comparable', why: warnings[0] ?? 'levels do not compare' };
    const ownReachHz = (line.humpWidthHz ?? 0) / 2;
    const baseHz = toleranceHz + axis * atHz + OFF_IN_RESOLUTION * resolutionHz;
    const reachOf = (j: number) =>
      baseHz +
      SAME_FREQUENCY_SIGMA * Math.hypot(line.frequencySigmaHz, spurs[j]!.frequencySigmaHz) +
      Math.max(ownReachHz, spurs[j]!.shape === 'hump' ? spurs[j]!.widthHz / 2 : 0);
    let best = -1;
    let nearest = Infinity;
    const farthest = baseHz + ownReachHz + widestHz + 20 * SAME_FREQUENCY_SIGMA * resolutionHz;
    for (
      let k = lowerBound(frequencies, atHz - farthest);
      k < order.length && frequencies[k]! <= atHz + farthest;
      k++
    ) {
      const j = order[k]!;
      const miss = Math.abs(spurs[j]!.frequencyHz - atHz);
      if (miss <= reachOf(j) && miss < nearest) [best, nearest] = [j, miss];
    }
    if (best >= 0) {
      const spur = spurs[best]!;
      return {
        is: 'seen',
        spur: best,
        frequencyHz: spur.frequencyHz,
        levelDb: spur.levelDb + other.offsetDb - own.offsetDb,
        levelSigmaDb: spur.levelSigmaDb,
        otherShape: (spur.shape === 'hump') !== (line.humpWidthHz !== null),
      };
    }
    const halfHz = baseHz + SAME_FREQUENCY_SIGMA * line.frequencySigmaHz + ownReachHz;
    const found = limits.within({ lowHz: atHz - halfHz, highHz: atHz + halfHz, centreHz: atHz }, null);
    if (found.limitDb === null)
      return {
        is: 'unusable',
        outcome: 'not-covered',
        why: `${there.file} ${found.uncoveredWhy ?? 'does not cover it'}`,
      };
    // a hump's power is the sum over its width: at most the limit of one bandwidth times the number of bandwidths in it
    const widerDb =
      line.humpWidthHz === null ? 0 : 10 * Math.log10(Math.max(1, line.humpWidthHz / other.noiseBandwidthHz));
    const i = nearestIndex(other.frequencyHz, atHz);
    const detectableDb = floor.meanDb[i]! + other.offsetDb + floor.weakestDetectableOverFloorDb + widerDb;
    return {
      is: 'unseen',
      limitDb: found.limitDb + widerDb - own.offsetDb,
      detectableDb: detectableDb - own.offsetDb,
    } satisfies Sight;
  };
  return {
    look,
    here: own,
    there: other,
    comparable: unit.comparable,
    offsetDb: other.offsetDb - own.offsetDb,
    axis,
    warnings,
  };
}

function axisPpm({ taken, triaged }: SideTrace): number {
  return taken.frequencyAccuracyPpm ?? triaged.triage.settings.frequencyAccuracyPpm;
}
