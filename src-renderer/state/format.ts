/** How numbers are printed in the page: as units/format.ts prints them, with words where the page has room for them. */
import {
  decimalsFor,
  formatChance,
  formatDecimal,
  MINUS,
  NO_VALUE as DASH,
  PLUS_MINUS,
  THIN_SPACE,
} from '../../src-main/units/format.ts';

export { DASH, MINUS, PLUS_MINUS, THIN_SPACE };

/** A decimal number with `digits` places; 'unknown' for what is not finite. */
export function decimal(value: number, digits = 0): string {
  return Number.isFinite(value) ? formatDecimal(value, digits) : 'unknown';
}

export function signed(value: number, digits = 1): string {
  const text = decimal(value, digits);
  return text.startsWith(MINUS) || !Number.isFinite(value) ? text : '+' + text;
}

export interface FrequencyUnit {
  readonly name: 'Hz' | 'kHz' | 'MHz' | 'GHz';
  readonly hz: number;
}

const UNITS: readonly FrequencyUnit[] = [
  { name: 'GHz', hz: 1e9 },
  { name: 'MHz', hz: 1e6 },
  { name: 'kHz', hz: 1e3 },
  { name: 'Hz', hz: 1 },
];

let chosenUnit: FrequencyUnit | null = null;

/** From now on frequencies are printed in this unit; null: in the one that fits each best. Offsets and doubts always take what fits. */
export function readFrequenciesIn(name: FrequencyUnit['name'] | null): void {
  chosenUnit = UNITS.find((unit) => unit.name === name) ?? null;
}

/** The unit in which a frequency is printed: the chosen one, else that in which one of this size is read most easily. */
export function frequencyUnit(hz: number): FrequencyUnit {
  return chosenUnit ?? fittingUnit(hz);
}

function fittingUnit(hz: number): FrequencyUnit {
  return UNITS.find((unit) => Math.abs(hz) >= unit.hz) ?? UNITS[3]!;
}

/** Decimal places so that a doubt of `sigma` shows with two digits at most; 0…9. */
export function placesFor(sigma: number): number {
  return Math.min(9, decimalsFor(sigma));
}

/** Places for a whole column: fine enough for the middle one of the doubts, so that decimal points stand under each other. */
export function columnPlaces(sigmas: readonly number[]): number {
  const known = sigmas.filter((sigma) => sigma > 0 && Number.isFinite(sigma)).toSorted((a, b) => a - b);
  return placesFor(known[known.length >> 1] ?? NaN);
}

/** `12.559 265 MHz`; without a doubt at most six significant digits, trailing noughts dropped. */
export function frequency(hz: number, sigmaHz: number | null = null, unit = frequencyUnit(hz)): string {
  if (!Number.isFinite(hz)) return 'unknown';
  if (sigmaHz !== null) return `${decimal(hz / unit.hz, placesFor(sigmaHz / unit.hz))} ${unit.name}`;
  const plain = Number((hz / unit.hz).toPrecision(6));
  const places = (String(plain).split('.')[1] ?? '').length;
  return `${decimal(plain, places)} ${unit.name}`;
}

/** A frequency difference or doubt with two digits: `63 Hz`, `1.3 kHz`. */
export function frequencyDoubt(hz: number): string {
  if (!Number.isFinite(hz)) return 'unknown';
  const size = Number(Math.abs(hz).toPrecision(2));
  const unit = fittingUnit(size);
  const value = size / unit.hz;
  return `${decimal(value, value < 9.95 && size > 0 ? (value < 0.995 ? placesFor(value) : 1) : 0)} ${unit.name}`;
}

/** A doubt in decibels: one place, two where it is smaller than a tenth; never nothing. */
export function levelDoubt(sigmaDb: number): string {
  if (sigmaDb > 0 && sigmaDb < 0.005) return `<${THIN_SPACE}0.01`;
  return decimal(sigmaDb, sigmaDb > 0 && sigmaDb < 0.095 ? 2 : 1);
}

export function frequencyOffset(hz: number): string {
  return (hz < 0 ? MINUS : '+') + frequencyDoubt(hz);
}

/** Low and high with the unit once: `9–13 MHz`. */
export function span(lowHz: number, highHz: number): string {
  const unit = frequencyUnit(highHz);
  const low = frequency(lowHz, null, unit).replace(` ${unit.name}`, '');
  return `${low}${DASH}${frequency(highHz, null, unit)}`;
}

/** A p-value as `1 in n`, as the packet prints it: n is rounded down, so that the chance is never understated. */
export function chance(p: number): string {
  return Number.isFinite(p) && p >= 0 ? formatChance(Math.min(1, p)) : 'unknown';
}

/** Parts per million as a reader expects it: ppm for crystals, per cent from 0.1 % on. */
export function tolerance(ppm: number): string {
  const [value, unit] = ppm >= 1000 ? [ppm / 1e4, '%'] : [ppm, 'ppm'];
  return `${Number(value.toPrecision(4))} ${unit}`;
}

export function clock(iso: string): string {
  const at = new Date(iso);
  return Number.isNaN(at.getTime()) ? iso : at.toTimeString().slice(0, 5);
}

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** `11 Mar`, with the year where it is not this one's. */
export function day(iso: string, thisYear: number): string {
  const at = new Date(iso);
  if (Number.isNaN(at.getTime())) return iso;
  const text = `${at.getDate()} ${MONTHS[at.getMonth()] ?? ''}`;
  return at.getFullYear() === thisYear ? text : `${text} ${at.getFullYear()}`;
}

export function plural(n: number, one: string, many = one + 's'): string {
  return `${decimal(n)} ${n === 1 ? one : many}`;
}
