import type { LevelUnit } from '../../model/level-unit.ts';
import { parseLevelUnit } from '../../units/parse-unit.ts';
import { unknownUnit } from '../delimited/level-unit.ts';

/** Levels looked at to tell decibels from linear numbers. */
const LOOKED_AT = 200_000;

/**
 * The unit that a file or the user states for levels; unknown with a scale by plain rules where nobody does, or where it is no level
 * unit (`digits`, `counts`). Everything but a statement becomes a warning.
 *
 * @param stated in the file's words, '' or null where it says nothing
 */
export function unitOfLevels(
  stated: string | null,
  hinted: string | undefined,
  level: Float64Array | Float32Array,
  warnings: string[],
): LevelUnit {
  const unit = parseLevelUnit(hinted ?? stated ?? '');
  if (unit !== null) return unit;
  const step = Math.max(1, Math.floor(level.length / LOOKED_AT));
  const looked = Float64Array.from({ length: Math.floor(level.length / step) }, (_, i) => level[i * step]!);
  const said = (stated ?? '').trim();
  const decided = unknownUnit(looked, '', said === '' ? [] : [`“${said.slice(0, 40)}” is no level unit known here.`]);
  warnings.push(...decided.warnings);
  return decided.unit;
}
