import type { LevelUnit } from '../model/level-unit.ts';

/** Boltzmann's constant, J/K: exact in the SI since 2019. */
export const BOLTZMANN_J_PER_K = 1.380649e-23;
/** IEEE standard noise temperature, K. */
export const STANDARD_TEMPERATURE_K = 290;

/**
 * What a level is of, and how many decibels over the base SI unit its unit's zero lies: dBm is a power, 30 dB below a watt.
 * Units of one quantity convert by that difference; voltage, current and power need an impedance.
 */
export interface LevelPlace {
  readonly quantity: 'power' | 'voltage' | 'current' | 'electric field' | 'magnetic field';
  readonly zeroDb: number;
  readonly density: boolean;
}

/** Magnetic constant, H/m (4π·10⁻⁷ to nine digits), and the impedance of free space, Ω. */
const MAGNETIC_CONSTANT = 4e-7 * Math.PI;
const FREE_SPACE_OHM = 376.73;

const DECIBEL_PLACES: Readonly<Record<string, readonly [LevelPlace['quantity'], number]>> = {
  dBW: ['power', 0],
  dBm: ['power', -30],
  dBpW: ['power', -120],
  dBV: ['voltage', 0],
  dBmV: ['voltage', -60],
  dBµV: ['voltage', -120],
  dBnV: ['voltage', -180],
  dBA: ['current', 0],
  dBmA: ['current', -60],
  dBµA: ['current', -120],
  'dBµV/m': ['electric field', -120],
  'dBV/m': ['electric field', 0],
  'dBmV/m': ['electric field', -60],
  'dBA/m': ['magnetic field', 0],
  'dBmA/m': ['magnetic field', -60],
  'dBµA/m': ['magnetic field', -120],
  // a flux density is what a field of it has in air
  dBpT: ['magnetic field', 20 * Math.log10(1e-12 / MAGNETIC_CONSTANT)],
};
const PREFIXES: Readonly<Record<string, number>> = { p: -12, n: -9, µ: -6, m: -3, '': 0, k: 3, M: 6 };

/** Null for what is no absolute level: an unknown unit, a ratio. */
export function placeOf({ name, perHz }: LevelUnit): LevelPlace | null {
  const base = name.replace(/\/√?Hz$/, '');
  const decibel = DECIBEL_PLACES[base];
  if (decibel !== undefined) return { quantity: decibel[0], zeroDb: decibel[1], density: perHz };
  const linear = /^([pnµmkM]?)(W|[VA]²?|V\/m)$/.exec(base);
  if (linear === null) return null;
  const tens = PREFIXES[linear[1]!]!;
  const what = linear[2]!;
  if (what === 'W') return { quantity: 'power', zeroDb: 10 * tens, density: perHz };
  const quantity = what === 'V/m' ? 'electric field' : what.startsWith('V') ? 'voltage' : 'current';
  // mV² is (mV)²: both a value in mV at 20·log10 and one in mV² at 10·log10 lie 60 dB below a volt
  return { quantity, zeroDb: 20 * tens, density: perHz };
}

/**
 * Decibels to add to a level (in decibels of its own unit, see units/levels.ts) to have it in decibels of another unit.
 *
 * @param impedanceOhm what voltage or current and power meet in; only used between unlike quantities
 * @returns null where no conversion exists: an unknown unit, a ratio (dB, dBc, dBFS), a field against a voltage, a density against none
 *
 * P = U²/R = I²·R, so dBm = dBµV − 10·log10(R) − 90: 106.99 dB in 50 Ω.
 */
export function conversionDb(from: LevelUnit, to: LevelUnit, impedanceOhm = 50): number | null {
  const a = placeOf(from);
  const b = placeOf(to);
  if (from.name === to.name && from.name !== 'unknown') return 0;
  if (a === null || b === null || a.density !== b.density) return null;
  if (a.quantity === b.quantity) return a.zeroDb - b.zeroDb;
  if (isField(a) || isField(b)) return null;
  const ohmDb = 10 * Math.log10(impedanceOhm);
  const toPowerDb = { power: 0, voltage: -ohmDb, current: ohmDb } as Readonly<Record<LevelPlace['quantity'], number>>;
  return a.zeroDb + toPowerDb[a.quantity] - toPowerDb[b.quantity] - b.zeroDb;
}

/** A field at a place: against what stands at a port it has no conversion, only a transducer. */
export function isField({ quantity }: LevelPlace): boolean {
  return quantity === 'electric field' || quantity === 'magnetic field';
}

/**
 * Decibels to add to a level of electric field strength, in decibels of its unit, to have what a plane wave of it carries besides: the
 * magnetic field strength in dBµA/m, and the power through a square metre in dBm/m². In the far field only (distance well over λ/2π and
 * the source's size); nearer a field of one kind says nothing of the other, so no reading is ever converted by it unasked.
 *
 * H = E/Z₀ and S = E²/Z₀ with Z₀ = 376.730 Ω. Null for what is no electric field.
 */
export function farFieldDb(from: LevelUnit): { readonly magneticDb: number; readonly powerDb: number } | null {
  const place = placeOf(from);
  if (place?.quantity !== 'electric field' || place.density) return null;
  return {
    magneticDb: place.zeroDb - 20 * Math.log10(FREE_SPACE_OHM) + 120,
    powerDb: place.zeroDb - 10 * Math.log10(FREE_SPACE_OHM) + 30,
  };
}

/** Thermal noise k·T·B in dBm. */
export function thermalNoiseDbm(bandwidthHz: number, temperatureK = STANDARD_TEMPERATURE_K): number {
  return 10 * Math.log10(BOLTZMANN_J_PER_K * temperatureK * bandwidthHz) + 30;
}
