/** How cells are parted and decimals written. */
export interface Dialect {
  /** Byte of the delimiter; a blank means any run of blanks or tabs. */
  readonly delimiter: number;
  readonly decimalComma: boolean;
}

export const BLANK = 32;
const POWERS = Float64Array.from({ length: 23 }, (_, k) => 10 ** k);

/** Result of parsing one row: the number of cells, or −1 where a cell is no number. */
export const NOT_NUMERIC = -1;
export const MOST_COLUMNS = 1024;

/**
 * Parses the cells of one line as numbers into `out`; empty cells are NaN.
 *
 * Exact: an integer mantissa up to 2^53 − 1 and one multiplication or division by an exact power of ten (10^k, k ≤ 22) gives the
 * correctly rounded double; anything longer goes through Number(). Quotes, blanks around a cell, a plus sign, `nan` and `inf`
 * and one delimiter at the end of the line are accepted.
 *
 * @returns the number of cells; 0 for a blank line; NOT_NUMERIC where any cell is not a number
 */
export function parseRow(bytes: Uint8Array, start: number, end: number, dialect: Dialect, out: Float64Array): number {
  const { delimiter, decimalComma } = dialect;
  const point = decimalComma ? 44 : 46;
  const byBlank = delimiter === BLANK;
  let i = start;
  let cells = 0;
  let filled = 0; // cells up to the last that is not empty
  for (;;) {
    while (i < end && (bytes[i] === 32 || (bytes[i] === 9 && delimiter !== 9))) i++;
    if (i >= end && (cells === 0 || byBlank)) break;
    if (cells >= MOST_COLUMNS) return NOT_NUMERIC;
    const quoted = i < end && bytes[i] === 34;
    if (quoted) i++;
    while (quoted && i < end && bytes[i] === 32) i++;
    let j = i;
    let negative = false;
    if (j < end && (bytes[j] === 43 || bytes[j] === 45)) negative = bytes[j++] === 45;
    let mantissa = 0;
    let digits = 0;
    let decimals = 0;
    let long = false;
    let seenPoint = false;
    for (; j < end; j++) {
      const b = bytes[j]!;
      if (b >= 48 && b <= 57) {
        digits++;
        if (mantissa > 900719925474098) long = true;
        mantissa = mantissa * 10 + (b - 48);
        if (seenPoint) decimals++;
      } else if (b === point && !seenPoint) seenPoint = true;
      else break;
    }
    let value = NaN;
    if (digits > 0) {
      let exponent = 0;
      if (j < end && (bytes[j] === 101 || bytes[j] === 69 || bytes[j] === 68 || bytes[j] === 100)) {
        let k = j + 1;
        let minus = false;
        if (k < end && (bytes[k] === 43 || bytes[k] === 45)) minus = bytes[k++] === 45;
        const from = k;
        while (k < end && bytes[k]! >= 48 && bytes[k]! <= 57)
          exponent = Math.min(99_999, exponent * 10 + (bytes[k++]! - 48));
        if (k === from) return NOT_NUMERIC;
        if (minus) exponent = -exponent;
        j = k;
      }
      const power = exponent - decimals;
      if (!long && power >= -22 && power <= 22)
        value = power < 0 ? mantissa / POWERS[-power]! : mantissa * POWERS[power]!;
      else value = slowNumber(bytes, i, j, decimalComma);
      if (!long && power > 0 && mantissa * POWERS[Math.min(22, power)]! > Number.MAX_SAFE_INTEGER && mantissa > 1e15)
        value = slowNumber(bytes, i, j, decimalComma);
      if (negative && !(value < 0) && !Object.is(value, -0)) value = -value;
      if (!Number.isFinite(value)) value = NaN;
      filled = cells + 1;
    } else if (j > i || seenPoint || (j < end && bytes[j] !== delimiter && !(quoted && bytes[j] === 34))) {
      const word = specialWord(bytes, i, end);
      if (word === 0) return NOT_NUMERIC;
      j = i + word;
      filled = cells + 1;
    }
    if (quoted) {
      while (j < end && bytes[j] === 32) j++;
      if (bytes[j] !== 34) return NOT_NUMERIC;
      j++;
    }
    out[cells++] = value;
    const gap = j;
    while (j < end && (bytes[j] === 32 || (bytes[j] === 9 && delimiter !== 9))) j++;
    if (j >= end) break;
    if (byBlank) {
      if (j === gap) return NOT_NUMERIC;
    } else {
      if (bytes[j] !== delimiter) return NOT_NUMERIC;
      j++;
      if (j >= end) break; // a delimiter at the end closes the last cell
    }
    i = j;
  }
  // a row of nothing but delimiters is a blank line
  if (filled === 0) return 0;
  // one empty cell after the last filled one is a trailing delimiter with a blank behind it
  if (cells > filled && cells - filled === 1 && !byBlank && isBlankTail(bytes, start, end, delimiter)) return cells - 1;
  return cells;
}

function isBlankTail(bytes: Uint8Array, start: number, end: number, delimiter: number): boolean {
  let i = end - 1;
  while (i >= start && (bytes[i] === 32 || bytes[i] === 9)) i--;
  return i >= start && bytes[i] === delimiter;
}

/** Length of a word that stands for "no value" at this place (nan, inf, ---), or 0. */
function specialWord(bytes: Uint8Array, from: number, end: number): number {
  let text = '';
  for (let i = from; i < Math.min(end, from + 9); i++) text += String.fromCharCode(bytes[i]!).toLowerCase();
  const match = /^(?:[+-]?nan(?:\([a-z]*\))?|[+-]?inf(?:inity)?|n\/a|-{2,3})(?=$|[^a-z0-9-])/.exec(text);
  return match === null ? 0 : match[0].length;
}

function slowNumber(bytes: Uint8Array, from: number, to: number, decimalComma: boolean): number {
  let text = '';
  for (let i = from; i < to; i++) {
    const b = bytes[i]!;
    text += b === 44 && decimalComma ? '.' : b === 68 || b === 100 ? 'e' : String.fromCharCode(b);
  }
  return Number(text);
}
