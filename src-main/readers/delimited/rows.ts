import { longDecimal, shortDecimal, slowDecimal } from './number-text.ts';

/** How cells are parted and decimals written. */
export interface Dialect {
  /** Byte of the delimiter; a blank means any run of blanks or tabs. */
  readonly delimiter: number;
  readonly decimalComma: boolean;
}

export const BLANK = 32;
export const COMMA = 44;
const TAB = 9;
const QUOTE = 34;
/** 1.#QNAN and its kin begin like a number. */
const HASH = 35;

/** Result of parsing one row: the number of cells, or −1 where a cell is no number. */
export const NOT_NUMERIC = -1;
/** A row wider than this is no row of a table of traces. */
export const MOST_COLUMNS = 4096;

const isExponentMark = (b: number | undefined): boolean => b === 101 || b === 69 || b === 68 || b === 100;

/**
 * Parses the cells of one line as numbers into `out`; empty cells, words for "no value" and infinities are NaN.
 *
 * The result is the double that Number() gives for the same digits. Quotes, blanks around a cell, a plus sign, and one delimiter
 * at the end of the line are accepted. Where comma is both delimiter and decimal sign, a decimal comma counts inside quotes only.
 *
 * @returns the number of cells; 0 for a blank line; NOT_NUMERIC where any cell is not a number
 */
export function parseRow(bytes: Uint8Array, start: number, end: number, dialect: Dialect, out: Float64Array): number {
  const { delimiter, decimalComma } = dialect;
  const byBlank = delimiter === BLANK;
  let i = start;
  let cells = 0;
  let filled = 0; // cells up to the last that is not empty
  for (;;) {
    while (i < end && (bytes[i] === BLANK || (bytes[i] === TAB && delimiter !== TAB))) i++;
    if (i >= end && (cells === 0 || byBlank)) break;
    if (cells >= MOST_COLUMNS) return NOT_NUMERIC;
    const quoted = i < end && bytes[i] === QUOTE;
    if (quoted) i++;
    while (quoted && i < end && bytes[i] === BLANK) i++;
    const point = decimalComma && (quoted || delimiter !== COMMA) ? COMMA : 46;
    let j = i;
    let negative = false;
    if (j < end && (bytes[j] === 43 || bytes[j] === 45)) negative = bytes[j++] === 45;
    let head = 0;
    let tail = 0;
    let digits = 0;
    let significant = 0;
    let decimals = 0;
    let seenPoint = false;
    for (; j < end; j++) {
      const b = bytes[j]!;
      if (b >= 48 && b <= 57) {
        digits++;
        if (significant > 0 || b !== 48) significant++;
        if (significant <= 15) head = head * 10 + (b - 48);
        else if (significant <= 19) tail = tail * 10 + (b - 48);
        if (seenPoint) decimals++;
      } else if (b === point && !seenPoint) seenPoint = true;
      else break;
    }
    let value = NaN;
    if (digits > 0 && bytes[j] !== HASH) {
      let exponent = 0;
      if (j < end && isExponentMark(bytes[j])) {
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
      if (significant <= 15) value = head === 0 ? 0 : shortDecimal(head, power);
      else if (significant <= 19) value = longDecimal(head, tail, significant - 15, power);
      if (Number.isNaN(value)) value = Math.abs(slowDecimal(bytes, i, j));
      if (negative) value = -value;
      if (!Number.isFinite(value)) value = NaN;
      filled = cells + 1;
    } else if (j > i || seenPoint || (j < end && bytes[j] !== delimiter && !(quoted && bytes[j] === QUOTE))) {
      const word = wordForNoValue(bytes, i, end);
      if (word === 0) return NOT_NUMERIC;
      j = i + word;
      filled = cells + 1;
    }
    if (quoted) {
      while (j < end && bytes[j] === BLANK) j++;
      if (bytes[j] !== QUOTE) return NOT_NUMERIC;
      j++;
    }
    out[cells++] = value;
    const gap = j;
    while (j < end && (bytes[j] === BLANK || (bytes[j] === TAB && delimiter !== TAB))) j++;
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
  while (i >= start && (bytes[i] === BLANK || bytes[i] === TAB)) i--;
  return i >= start && bytes[i] === delimiter;
}

const NO_VALUE =
  /^(?:[+-]?nan(?:\([a-z]*\))?|[+-]?inf(?:inity)?|[+-]?1\.#(?:qnan|snan|ind|inf)0*|#?n\/a|#?na|null|none|ovld?|overload|invalid|-{1,4}|\*{1,6})(?=$|[^a-z0-9#*-])/;

/** Length of a word that stands for "no value" at this place (nan, inf, n/a, ---), or 0. */
function wordForNoValue(bytes: Uint8Array, from: number, end: number): number {
  let text = '';
  for (let i = from; i < Math.min(end, from + 12); i++) text += String.fromCharCode(bytes[i]!).toLowerCase();
  return NO_VALUE.exec(text)?.[0].length ?? 0;
}

/** Where the fast loop stands: the next byte and the next row. */
export interface RowCursor {
  pos: number;
  row: number;
}

/**
 * Parses row after row of plain numbers into `columns`, as long as every row is nothing but that.
 *
 * It knows digits, sign, decimal sign, exponent, single delimiters (or runs of blanks) and line ends; it stops before the first row
 * that holds anything else, is the last without a line end, or would not fit, and leaves that row to parseRow.
 */
export function parsePlainRows(
  bytes: Uint8Array,
  dialect: Dialect,
  lineEnd: number,
  columns: readonly Float64Array[],
  cursor: RowCursor,
): void {
  const { delimiter } = dialect;
  const byBlank = delimiter === BLANK;
  const point = dialect.decimalComma ? COMMA : 46;
  const n = bytes.length;
  const count = columns.length;
  const capacity = columns[0]!.length;
  let i = cursor.pos;
  let row = cursor.row;
  if (point === delimiter) return; // decimal commas inside quotes only: nothing plain here
  rows: while (row < capacity && i < n) {
    for (let c = 0; c < count; c++) {
      let b = bytes[i]!;
      while (b === BLANK) b = bytes[++i]!;
      let negative = false;
      if (b === 45) {
        negative = true;
        b = bytes[++i]!;
      } else if (b === 43) b = bytes[++i]!;
      const first = i;
      let head = 0;
      let digit = b - 48;
      while (digit >= 0 && digit <= 9) {
        head = head * 10 + digit;
        digit = bytes[++i]! - 48;
      }
      let digits = i - first;
      let power = 0;
      if (bytes[i] === point) {
        const from = ++i;
        digit = bytes[i]! - 48;
        while (digit >= 0 && digit <= 9) {
          head = head * 10 + digit;
          digit = bytes[++i]! - 48;
        }
        power = from - i;
        digits -= power;
      }
      if (digits === 0) break rows;
      const mantissaEnd = i;
      b = bytes[i]!;
      if (b === 101 || b === 69) {
        b = bytes[++i]!;
        const minus = b === 45;
        if (minus || b === 43) b = bytes[++i]!;
        const from = i;
        let exponent = 0;
        while (b >= 48 && b <= 57) {
          exponent = exponent * 10 + (b - 48);
          b = bytes[++i]!;
        }
        if (i === from || i - from > 4) break rows;
        power += minus ? -exponent : exponent;
      }
      let value = digits <= 15 ? shortDecimal(head, power) : manyDigits(bytes, first, mantissaEnd, power);
      if (value !== value) {
        value = slowDecimal(bytes, first, i);
        if (value === Infinity) break rows;
      }
      columns[c]![row] = negative ? -value : value;

      if (byBlank) {
        const gap = i;
        while (b === BLANK || b === TAB) b = bytes[++i]!;
        if (c < count - 1 && i === gap) break rows;
      } else {
        while (b === BLANK) b = bytes[++i]!;
        if (c < count - 1) {
          if (b !== delimiter) break rows;
          i++;
        } else if (b === delimiter) {
          b = bytes[++i]!;
          while (b === BLANK) b = bytes[++i]!;
        }
      }
    }
    while (bytes[i] === 13 && lineEnd !== 13) i++;
    if (bytes[i] !== lineEnd) break;
    i++;
    row++;
    cursor.pos = i;
    cursor.row = row;
  }
}

/** Digits and at most one decimal sign in a stretch of more than 15 digits, times ten to `power`; NaN where only Number() can tell. */
function manyDigits(bytes: Uint8Array, from: number, to: number, power: number): number {
  let head = 0;
  let tail = 0;
  let significant = 0;
  for (let i = from; i < to; i++) {
    const digit = bytes[i]! - 48;
    if (digit < 0) continue; // the decimal sign
    if (significant > 0 || digit !== 0) significant++;
    if (significant <= 15) head = head * 10 + digit;
    else if (significant <= 19) tail = tail * 10 + digit;
    else return NaN;
  }
  return significant <= 15 ? shortDecimal(head, power) : longDecimal(head, tail, significant - 15, power);
}
