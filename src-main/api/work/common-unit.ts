import { conversionDb, placeOfUnit } from '../../engine/tracking/level-scale.ts';
import type { LevelUnit } from '../../model/level-unit.ts';
import type { Comparison } from '../../model/track.ts';

/** The unit that a comparison's levels are in. */
export function commonUnit({ unit }: Comparison): LevelUnit {
  return { name: unit, scale: 'decibel', perHz: unit.endsWith('/Hz') };
}

/** What to add to decibels of one unit to have decibels of the other; null where they cannot be converted without a bandwidth. */
export function offsetDb(from: LevelUnit, to: LevelUnit): number | null {
  if (from.perHz !== to.perHz) return null;
  const places = [placeOfUnit(from), placeOfUnit(to)] as const;
  if (places[0] === null || places[1] === null) return null;
  return conversionDb(places[0], places[1])?.offsetDb ?? null;
}
