import type { Side } from './side.ts';
import { nearestIndex } from './side-trace.ts';

/** A floor that differs by less than this between the sides is no raised band; a choice of this tool. */
const RAISED_DB = 3;

/**
 * Is a line seen on one side only no more than the noise of a band whose floor stands higher on that side?
 *
 * Where a floor rises by a step, its estimate lags within half its window, and the noise of the raised part can look like lines. Such
 * a line does not reach over the highest floor of its surroundings by what a detection needs, while the other side's floor lies lower.
 */
export function isEdgeOfRaisedFloor(own: Side, line: number, other: Side): boolean {
  const { fileIndex, peakIndex, frequencyHz, floorDb, overFloorDb } = own.spurs[line]!;
  const { meanDb, triaged, offsetDb } = own.traces[fileIndex]!;
  const { floor } = triaged.triage;
  const reach = floor.windowPoints >> 1;
  let highestDb = -Infinity;
  for (let j = Math.max(0, peakIndex - reach); j <= Math.min(meanDb.length - 1, peakIndex + reach); j++)
    highestDb = Math.max(highestDb, meanDb[j]!);
  highestDb += offsetDb;
  const neededDb = floor.thresholdDb[peakIndex]! - meanDb[peakIndex]!;
  if (floorDb + overFloorDb > highestDb + neededDb) return false;
  return other.traces.some((trace) => {
    const there = trace.meanDb[nearestIndex(trace.frequencyHz, frequencyHz)]! + trace.offsetDb;
    // The same noise in the bandwidth of this side.
    const bandwidths = 10 * Math.log10(own.traces[fileIndex]!.noiseBandwidthHz / trace.noiseBandwidthHz);
    return highestDb - (there + bandwidths) > RAISED_DB;
  });
}
