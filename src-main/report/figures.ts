/**
 * Figures of the terminal's tables: plain hyphen, plain digits without groups, so that a line can be pasted into a script or a
 * spreadsheet. Page and sentences print through units/format.ts.
 */

/** A level or ratio to `decimals` places; `-` for no value. */
export function fixed(value: number | null, decimals: number): string {
  if (value === null || !Number.isFinite(value)) return '-';
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text;
}

/** `digits` significant digits, for values of any size. */
export function significant(value: number | null, digits: number): string {
  if (value === null || !Number.isFinite(value)) return '-';
  if (value === 0) return '0';
  const size = Math.abs(value);
  return size >= 1e-4 && size < 1e15
    ? fixed(value, Math.min(20, Math.max(0, digits - 1 - Math.floor(Math.log10(size)))))
    : value.toExponential(digits - 1);
}

/** A frequency in Hz, written to the second significant digit of its uncertainty (at most micro-hertz, never coarser than 1 Hz). */
export function frequencyHzText(frequencyHz: number | null, sigmaHz: number | null): string {
  if (sigmaHz === null || !(sigmaHz > 0)) return fixed(frequencyHz, 0);
  return fixed(frequencyHz, Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(sigmaHz)))));
}

/** A frequency for the head of a table: four significant digits with the prefix that leaves 1 to 999 before the point. */
export function frequencyText(frequencyHz: number): string {
  const [divisor, unit] =
    frequencyHz >= 1e9
      ? [1e9, 'GHz']
      : frequencyHz >= 1e6
        ? [1e6, 'MHz']
        : frequencyHz >= 1e3
          ? [1e3, 'kHz']
          : [1, 'Hz'];
  return `${Number((frequencyHz / divisor).toPrecision(4))} ${unit}`;
}

/** A level in the capture's unit: two decimals for decibels, three significant digits for linear units. */
export function levelText(level: number | null, isDecibel: boolean): string {
  return isDecibel ? fixed(level, 2) : significant(level, 3);
}

const WORDS = 'none one two three four five six seven eight nine ten eleven twelve'.split(' ');

/** Counts up to twelve in words, as in a sentence; figures above. */
export function countText(count: number): string {
  return WORDS[count] ?? String(count);
}
