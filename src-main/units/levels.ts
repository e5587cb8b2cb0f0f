import type { LevelUnit } from '../model/level-unit.ts';

/**
 * A level in its own unit as a power in decibels of that unit (V → dBV, W → dBW, dBm stays).
 *
 * Zero or negative linear values become −Infinity; NaN stays NaN.
 */
export function toDecibels(level: number, unit: LevelUnit): number {
  if (unit.scale === 'decibel') return level;
  if (!(level > 0)) return Number.isNaN(level) ? NaN : -Infinity;
  return (unit.scale === 'power' ? 10 : 20) * Math.log10(level);
}

/** The inverse of toDecibels. */
export function fromDecibels(levelDb: number, unit: LevelUnit): number {
  if (unit.scale === 'decibel') return levelDb;
  return 10 ** (levelDb / (unit.scale === 'power' ? 10 : 20));
}

/** A whole column in decibels; a new array, also for decibel units. */
export function columnToDecibels(level: Float64Array, unit: LevelUnit): Float64Array {
  const out = new Float64Array(level.length);
  for (let i = 0; i < level.length; i++) out[i] = toDecibels(level[i]!, unit);
  return out;
}
