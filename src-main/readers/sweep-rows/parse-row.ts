import type { Dialect } from '../delimited/rows.ts';
import { parseRow } from '../delimited/rows.ts';

/** One row: a segment of a sweep. */
export interface SegmentRow {
  /** Date and time as written. */
  readonly takenAt: string;
  readonly lowHz: number;
  readonly highHz: number;
  readonly stepHz: number;
  readonly samples: number;
  readonly level: Float64Array;
  /** Line in the file, counted from 1. */
  readonly line: number;
}

const DATE = /^"?(?:\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[./-]\d{1,2}[./-]\d{2,4})"?$/;
const TIME = /^"?\d{1,2}:\d{2}:\d{2}(?:[.,]\d+)?(?:Z|[+-]\d{2}:?\d{2})?"?$/;
const NUMBERS_BEFORE_LEVELS = 4;
/** Date, time, four numbers, and at least two levels. */
const LEAST_CELLS = 8;
/** A row of more levels than this is no segment. */
const MOST_LEVELS = 1 << 20;

/** True where a line looks like a row of a segment: a date, a time, four numbers, levels. */
export function isSegmentRow(text: string): boolean {
  const cells = text.split(/[,;\t]/, LEAST_CELLS).map((cell) => cell.trim());
  return (
    cells.length === LEAST_CELLS &&
    DATE.test(cells[0]!) &&
    TIME.test(cells[1]!) &&
    cells.slice(2, 6).every((cell) => /^\d+(?:\.\d+)?(?:e[+-]?\d+)?$/i.test(cell)) &&
    Number(cells[3]) > Number(cells[2]) &&
    Number(cells[4]) > 0
  );
}

/**
 * The row between two bytes; null for a blank line; a text where it is damaged, saying how.
 *
 * @param buffer room for the levels of the longest row so far; what does not fit there is parsed with more
 */
export function parseSegmentRow(
  bytes: Uint8Array,
  start: number,
  end: number,
  line: number,
  delimiter: number,
): SegmentRow | string | null {
  let at = start;
  const word = (): string => {
    const from = at;
    while (at < end && bytes[at] !== delimiter && at - from < 40) at++;
    let text = '';
    for (let i = from; i < at; i++) text += String.fromCharCode(bytes[i]!);
    at++;
    return text.trim();
  };
  const date = word();
  if (date === '' && at >= end) return null;
  const time = word();
  if (!DATE.test(date) || !TIME.test(time)) return `“${date.slice(0, 20)}, ${time.slice(0, 20)}” for date and time`;
  const numbers = numbersOf(bytes, at, end, { delimiter, decimalComma: false });
  if (numbers === null) return 'a cell that is no number';
  const [lowHz, highHz, stepHz, samples] = numbers as unknown as [number, number, number, number];
  const levels = numbers.length - NUMBERS_BEFORE_LEVELS;
  if (levels < 1 || !(highHz > lowHz) || !(stepHz > 0) || !(lowHz >= 0))
    return `a segment from ${lowHz} to ${highHz} Hz in steps of ${stepHz} Hz with ${Math.max(0, levels)} levels`;
  return {
    takenAt: `${date.replaceAll('"', '')} ${time.replaceAll('"', '')}`,
    lowHz,
    highHz,
    stepHz,
    samples: samples ?? NaN,
    level: numbers.slice(NUMBERS_BEFORE_LEVELS),
    line,
  };
}

/** Cells as numbers, in pieces: a row may hold more of them than a row of a table. */
function numbersOf(bytes: Uint8Array, from: number, end: number, dialect: Dialect): Float64Array | null {
  let cells = 1;
  for (let i = from; i < end; i++) if (bytes[i] === dialect.delimiter) cells++;
  if (cells > MOST_LEVELS) return null;
  const out = new Float64Array(cells);
  const piece = new Float64Array(1);
  let count = 0;
  for (let start = from; start <= end && count < cells;) {
    let stop = start;
    while (stop < end && bytes[stop] !== dialect.delimiter) stop++;
    const got = parseRow(bytes, start, stop, dialect, piece);
    if (got < 0) return null;
    // an empty cell at the very end is a delimiter that closes the row
    if (got === 0 && stop >= end) break;
    out[count++] = got === 0 ? NaN : piece[0]!;
    start = stop + 1;
  }
  return out.subarray(0, count);
}
