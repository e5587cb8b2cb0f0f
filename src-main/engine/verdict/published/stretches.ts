import type { LimitStretch } from '../../../model/limit-line.ts';

/** Level stretches from MHz: `[low, high, level]` flat, `[low, high, from, to]` straight over log frequency. */
export function inMhz(rows: readonly (readonly number[])[]): LimitStretch[] {
  return rows.map(([low, high, from, to]) => ({
    lowHz: Math.round(low! * 1e6),
    highHz: Math.round(high! * 1e6),
    lowLevel: from!,
    highLevel: to ?? from!,
  }));
}

/** A field strength in µV/m as dBµV/m. */
export function dbFromMicrovolts(microvoltsPerMetre: number): number {
  return 20 * Math.log10(microvoltsPerMetre);
}
