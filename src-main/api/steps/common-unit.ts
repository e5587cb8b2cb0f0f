import type { LevelUnit } from '../../model/level-unit.ts';
import type { Comparison } from '../../model/track.ts';

/** The unit that a comparison's levels are in. */
export function commonUnit({ unit }: Comparison): LevelUnit {
  return { name: unit, scale: 'decibel', perHz: unit.endsWith('/Hz') };
}
