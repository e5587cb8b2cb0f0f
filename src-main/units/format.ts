/**
 * The one way a number is printed: true minus, thin-space groups, a thin space before the unit, and digits no finer than the doubt
 * allows. Report and page use these; JSON and CSV carry plain numbers.
 *
 * Convention for doubts (common practice, as in the Guide to the expression of uncertainty in measurement, JCGM 100:2008, 7.2.6: at
 * most two significant digits): a doubt is printed with two digits, and its value to the same place.
 */
export const MINUS = '\u2212';
export const THIN_SPACE = '\u2009';
export const PLUS_MINUS = '\u00b1';
/** What stands where there is no value. */
export const NO_VALUE = '\u2013';

const MOST_DECIMALS = 12;
const SUPERSCRIPTS = '\u2070\u00b9\u00b2\u00b3\u2074\u2075\u2076\u2077\u2078\u2079';

/** A decimal number with `decimals` places in groups of three; NO_VALUE for what is not finite; never a negative zero. */
export function formatDecimal(value: number, decimals = 0): string {
  if (!Number.isFinite(value)) return NO_VALUE;
  const places = Math.min(MOST_DECIMALS, Math.max(0, decimals));
  const text = Math.abs(value).toFixed(places);
  const [whole = '0', part] = text.includes('e') ? [text, undefined] : text.split('.');
  const grouped = whole.replace(/\B(?=(\d{3})+$)/g, THIN_SPACE);
  const fraction = part === undefined ? '' : `.${part.replace(/(\d{3})(?=\d)/g, `$1${THIN_SPACE}`)}`;
  return (value < 0 && Number(text) !== 0 ? MINUS : '') + grouped + fraction;
}

/** As formatDecimal with an explicit sign, for changes; zero has none. */
export function formatSigned(value: number, decimals = 1): string {
  const text = formatDecimal(value, decimals);
  return value > 0 && /[1-9]/.test(text) ? `+${text}` : text;
}

/** Decimal places at which a doubt shows two significant digits; 0 for a doubt of ten or more. `3` where there is none. */
export function decimalsFor(doubt: number | null | undefined, without = 3): number {
  if (doubt === null || doubt === undefined || !(doubt > 0) || !Number.isFinite(doubt)) return without;
  // the second digit of the doubt as it is printed: 0.0996 is printed 0.10
  const printed = Number(doubt.toPrecision(2));
  return Math.min(MOST_DECIMALS, Math.max(0, 1 - Math.floor(Math.log10(printed))));
}

/** `value ± doubt` with the doubt's two digits; without a doubt the value alone, to `without` places. */
export function formatWithDoubt(value: number, doubt: number | null, without = 3): string {
  const decimals = decimalsFor(doubt, without);
  if (!Number.isFinite(value)) return NO_VALUE;
  const text = formatDecimal(value, decimals);
  return doubt !== null && doubt > 0 && Number.isFinite(doubt)
    ? `${text} ${PLUS_MINUS} ${formatDecimal(Number(doubt.toPrecision(2)), decimals)}`
    : text;
}

export interface Prefix {
  readonly symbol: '' | 'k' | 'M' | 'G';
  readonly factor: number;
}

/** The SI prefix that leaves 1 to 999.9 before the unit. */
export function prefixFor(value: number): Prefix {
  const size = Math.abs(value);
  if (size >= 1e9) return { symbol: 'G', factor: 1e9 };
  if (size >= 1e6) return { symbol: 'M', factor: 1e6 };
  return size >= 1e3 ? { symbol: 'k', factor: 1e3 } : { symbol: '', factor: 1 };
}

/**
 * A frequency: `12.559 265 MHz`, to the second digit of `sigmaHz` where that is known, else to six significant digits with trailing
 * zeros dropped. The doubt itself is printed by formatFrequencyWithDoubt.
 */
export function formatFrequency(
  frequencyHz: number,
  sigmaHz: number | null = null,
  prefix = prefixFor(frequencyHz),
): string {
  if (!Number.isFinite(frequencyHz)) return NO_VALUE;
  const value = frequencyHz / prefix.factor;
  const known = sigmaHz !== null && sigmaHz > 0 && Number.isFinite(sigmaHz);
  const decimals = known
    ? decimalsFor(sigmaHz / prefix.factor)
    : (String(Number(value.toPrecision(6))).split('.')[1]?.length ?? 0);
  return `${formatDecimal(value, decimals)} ${prefix.symbol}Hz`;
}

/** `12.559 265 ± 0.000 012 MHz`; without a doubt as formatFrequency. */
export function formatFrequencyWithDoubt(frequencyHz: number, sigmaHz: number | null): string {
  if (sigmaHz === null || !(sigmaHz > 0) || !Number.isFinite(sigmaHz)) return formatFrequency(frequencyHz);
  const prefix = prefixFor(frequencyHz);
  return `${formatWithDoubt(frequencyHz / prefix.factor, sigmaHz / prefix.factor)} ${prefix.symbol}Hz`;
}

/**
 * A level in its unit: decibels to tenths (no bench level is known better than that), linear units to three significant digits.
 * With a doubt, both to the doubt's second digit. An unknown unit is said.
 */
export function formatLevel(level: number, unitName: string, sigmaDb: number | null = null): string {
  if (!Number.isFinite(level)) return NO_VALUE;
  const unit = unitName === 'unknown' ? '(unit unknown)' : unitName;
  if (!unitName.startsWith('dB') && unitName !== 'unknown') return `${formatSignificant(level, 3)} ${unit}`;
  return `${formatWithDoubt(level, sigmaDb, 1)} ${unit}`;
}

/** `digits` significant digits; powers of ten for what is very small or large: `4.2 · 10⁻⁶`. */
export function formatSignificant(value: number, digits: number): string {
  if (!Number.isFinite(value)) return NO_VALUE;
  if (value === 0) return '0';
  const exponent = Math.floor(Math.log10(Math.abs(Number(value.toPrecision(digits)))));
  if (exponent >= -3 && exponent < 6) return formatDecimal(value, Math.max(0, digits - 1 - exponent));
  return `${formatDecimal(value / 10 ** exponent, digits - 1)}${THIN_SPACE}·${THIN_SPACE}10${superscript(exponent)}`;
}

/** A relative tolerance: `20 ppm`, per cent from 0.1 % on: `5 %`. At most three significant digits. */
export function formatPpm(ppm: number): string {
  if (!Number.isFinite(ppm)) return NO_VALUE;
  const [value, unit] = Math.abs(ppm) >= 1000 ? [ppm / 1e4, '%'] : [ppm, 'ppm'];
  const short = Number(value.toPrecision(3));
  return `${formatDecimal(short, String(Math.abs(short)).split('.')[1]?.length ?? 0)} ${unit}`;
}

/**
 * A p-value in words: `1 in 2 600`. Two significant digits, rounded so that the chance is never understated (the n of “1 in n” goes
 * down); from 1 in 10⁷ on the power of ten alone; above one half, `more than 1 in 2`.
 */
export function formatChance(p: number): string {
  if (!(p >= 0) || p > 1) return NO_VALUE;
  if (p > 0.5) return 'more than 1 in 2';
  if (p < 1e-300) return `less than 1 in 10${superscript(300)}`;
  const n = 1 / p;
  // 1e-12 of n is rounding of 1/p, no chance: 1/0.001 must stay 1 in 1 000
  const exponent = Math.floor(Math.log10(n * (1 + 1e-12)));
  if (exponent >= 7) return `1 in 10${superscript(exponent)}`;
  const step = 10 ** (exponent - 1);
  const down = Math.floor((n * (1 + 1e-12)) / step) * step;
  return `1 in ${formatDecimal(down, n < 10 && !Number.isInteger(Number(down.toFixed(1))) ? 1 : 0)}`;
}

function superscript(value: number): string {
  const digits = [...String(Math.abs(value))].map((digit) => SUPERSCRIPTS[Number(digit)]!).join('');
  return value < 0 ? `\u207b${digits}` : digits;
}
