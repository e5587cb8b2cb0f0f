import { nearestIndex } from '../../engine/tracking/side-trace.ts';
import { applyCondition } from '../../model/apply-condition.ts';
import type { LevelUnit } from '../../model/level-unit.ts';
import type { Comparison } from '../../model/track.ts';
import type { TriagedTrace } from '../../model/triaged-trace.ts';
import type { RisenFloor } from '../../report/compare-sentence.ts';
import { conversionDb } from '../../units/conversions.ts';
import { commonUnit } from './common-unit.ts';
import { median } from '../../engine/numeric/median.ts';

/** A floor that moved by less is noise, ripple or the weather of the bench, and explains no hidden spur. A choice of this tool. */
const LEAST_RISE_DB = 3;

/**
 * The hidden spurs of some sources under which the floor rose by at least 3 dB: how many, from where to where, and the median rise.
 *
 * Null where there are none, levels cannot be compared, or the sides differ in RBW: then the floor differs for that reason already.
 */
export function risenFloor(
  comparison: Comparison,
  before: readonly TriagedTrace[],
  after: readonly TriagedTrace[],
  isMeant: (source: string | null) => boolean,
): RisenFloor | null {
  const rbws = new Set(
    [...before, ...after].map(({ trace, condition }) => applyCondition(trace.settings, condition).rbwHz),
  );
  if (!comparison.levelsComparable || rbws.size > 1) return null;
  const common = commonUnit(comparison);

  const rises = comparison.tracks
    .filter(({ status, source }) => status === 'hidden' && isMeant(source))
    .flatMap(({ beforeSpur }) => {
      // A line seen only after, which the noise before would have hidden, says nothing of the floor after.
      if (beforeSpur === null) return [];
      const spur = comparison.beforeSpurs[beforeSpur]!;
      const floors = after.map((side) => floorAt(side, spur.frequencyHz, common)).filter((floor) => floor !== null);
      if (floors.length === 0) return [];
      return [{ frequencyHz: spur.frequencyHz, riseDb: Math.max(...floors) - spur.floorDb }];
    })
    .filter(({ riseDb }) => riseDb >= LEAST_RISE_DB);
  if (rises.length === 0) return null;
  return {
    spurs: rises.length,
    lowHz: rises[0]!.frequencyHz,
    highHz: rises.at(-1)!.frequencyHz,
    riseDb: median(rises.map(({ riseDb }) => riseDb)),
  };
}

/** The mean noise power at the point next to a frequency, in decibels of the common unit. */
function floorAt({ trace, triage }: TriagedTrace, frequencyHz: number, common: LevelUnit): number | null {
  const offset = conversionDb(trace.unit, common);
  if (offset === null) return null;
  return triage.floor.meanDb[nearestIndex(trace.frequencyHz, frequencyHz)]! + offset;
}
