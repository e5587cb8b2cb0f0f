import type { LevelUnit } from '../../model/level-unit.ts';

/** Where the decibels of a unit stand on the common scale of their kind (dBW, dBV or dBA). */
export interface LevelScalePlace {
  /** `other`: a decibel scale that only compares with itself (dBµV/m, dBFS, dB …). */
  readonly kind: 'power' | 'voltage' | 'current' | 'other';
  /** Add to a level to get it in dBW, dBV or dBA. */
  readonly offsetDb: number;
  /** Name of the decibel unit: `V` → `dBV`. */
  readonly name: string;
}

const PREFIX_DB: Readonly<Record<string, number>> = { '': 0, m: -30, u: -60, n: -90, p: -120, k: 30 };

/** 10·log10(50): dBV to dBW in the usual 50 Ω system; dBm → dBµV is then +106.99 (arithmetic; check-value 106.9897). */
export const VOLT_TO_WATT_50_OHM_DB = -10 * Math.log10(50);

/**
 * Reads a unit's name: W, V, A with a prefix, plain or in decibels, the µ written in any of its ways, squared volts or amperes as
 * powers. A density's `/Hz` or `/√Hz` is left aside here. Null where the unit is unknown.
 */
export function placeOfUnit(unit: LevelUnit): LevelScalePlace | null {
  const plain = unit.name
    .trim()
    .replace(/[\u00b5\u03bc]/g, 'u')
    .replace(/\s*\/\s*(√|sqrt|rt)?\s*\(?\s*hz\s*\)?$/iu, '')
    .replace(/\s/g, '');
  if (plain === '' || plain.toLowerCase() === 'unknown') return null;
  const inDecibels = /^db/i.test(plain);
  if (inDecibels && /^dbm$/i.test(plain)) return { kind: 'power', offsetDb: -30, name: 'dBm' };
  const base = (inDecibels ? plain.slice(2) : plain).replace(/(\^2|²)$/, '');
  const match = /^([munpk]?)([wva])(rms)?$/i.exec(base);
  if (match === null) return { kind: 'other', offsetDb: 0, name: plain };
  const prefix = match[1]!.toLowerCase();
  const letter = match[2]!.toUpperCase();
  const powers = PREFIX_DB[prefix]!;
  const kind = letter === 'W' ? 'power' : letter === 'V' ? 'voltage' : 'current';
  return {
    kind,
    offsetDb: kind === 'power' ? powers : 2 * powers,
    name: `dB${prefix === 'u' ? 'µ' : prefix}${letter}`,
  };
}

/** What to add to decibels of `from` to get decibels of `to`; null where that cannot be done. Power and voltage meet in 50 Ω. */
export function conversionDb(
  from: LevelScalePlace,
  to: LevelScalePlace,
): { offsetDb: number; in50Ohm: boolean } | null {
  if (from.kind === 'other' || to.kind === 'other') {
    return from.kind === to.kind && from.name.toLowerCase() === to.name.toLowerCase()
      ? { offsetDb: 0, in50Ohm: false }
      : null;
  }
  if (from.kind === to.kind) return { offsetDb: from.offsetDb - to.offsetDb, in50Ohm: false };
  if (from.kind === 'voltage' && to.kind === 'power')
    return { offsetDb: from.offsetDb + VOLT_TO_WATT_50_OHM_DB - to.offsetDb, in50Ohm: true };
  if (from.kind === 'power' && to.kind === 'voltage')
    return { offsetDb: from.offsetDb - VOLT_TO_WATT_50_OHM_DB - to.offsetDb, in50Ohm: true };
  return null;
}
