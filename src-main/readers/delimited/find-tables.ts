import { InputError } from '../../model/input-problem.ts';
import { BLANK, COMMA, MOST_COLUMNS, NOT_NUMERIC, parsePlainRows, parseRow, type Dialect } from './rows.ts';
import { endOfText, lineEndOf } from './text.ts';

/** A run of numeric rows with one number of columns. Lines count from 0. */
export interface NumberTable {
  readonly columns: readonly Float64Array[];
  readonly rows: number;
  readonly firstLine: number;
  readonly lastLine: number;
}

/** A line that is no row of numbers, by its place in the bytes. Lines count from 0. */
export interface TextLine {
  readonly line: number;
  readonly start: number;
  readonly end: number;
}

/** Where one row had another number of cells than the rows before it. */
export interface OddRow {
  readonly line: number;
  readonly cells: number;
  readonly expected: number;
}

export interface FoundTables {
  readonly tables: readonly NumberTable[];
  /** Lines with text on them, in order; at most MOST_TEXT_LINES. */
  readonly texts: readonly TextLine[];
  readonly oddRows: readonly OddRow[];
  readonly lineCount: number;
  /** The last line's place, and whether a line end closes it. */
  readonly lastLine: TextLine & { readonly closed: boolean };
}

const CANDIDATES: readonly Dialect[] = [
  { delimiter: COMMA, decimalComma: false },
  { delimiter: 59, decimalComma: false },
  { delimiter: 59, decimalComma: true },
  { delimiter: 9, decimalComma: false },
  { delimiter: 9, decimalComma: true },
  { delimiter: 124, decimalComma: false },
  { delimiter: 124, decimalComma: true },
  { delimiter: BLANK, decimalComma: false },
  { delimiter: BLANK, decimalComma: true },
  { delimiter: COMMA, decimalComma: true },
];

/** Lines looked at to find the delimiter: the first ones, and a stretch from the middle where the table surely is. */
const SAMPLE_LINES = 500;
/** Text lines kept: a preamble, headings between blocks and remarks behind are far fewer. */
const MOST_TEXT_LINES = 10_000;
/** A file that falls into more runs of numbers than this has no table. */
const MOST_TABLES = 5_000;

/** Places of the lines that decide about the dialect. */
export function sampleLines(bytes: Uint8Array): TextLine[] {
  const stop = lineEndOf(bytes);
  const lines: TextLine[] = [];
  const take = (from: number): number => {
    let start = from;
    for (let l = 0; l < SAMPLE_LINES && start < bytes.length; l++) {
      const at = bytes.indexOf(stop, start);
      const next = at < 0 ? bytes.length : at;
      lines.push({ line: l, start, end: endOfText(bytes, start, next) });
      start = next + 1;
    }
    return start;
  };
  const after = take(0);
  const middle = bytes.indexOf(stop, Math.max(after, bytes.length >> 1));
  if (middle >= 0 && middle + 1 > after) take(middle + 1);
  return lines;
}

export interface DialectScore {
  readonly dialect: Dialect;
  /** Sampled lines that are rows of the commonest number of cells. */
  readonly rows: number;
  readonly columns: number;
}

/**
 * Finds the delimiter and decimal sign under which the most sampled lines are rows of numbers; two columns or more
 * beat one, and the order of the candidates decides a tie. Null where no line is numeric under any.
 */
export function detectDialect(bytes: Uint8Array, lines: readonly TextLine[]): DialectScore | null {
  const out = new Float64Array(MOST_COLUMNS);
  let best: DialectScore | null = null;
  let bestScore = 0;
  for (const dialect of CANDIDATES) {
    const rowsByCells = new Map<number, number>();
    for (const { start, end } of lines) {
      const cells = parseRow(bytes, start, end, dialect, out);
      if (cells > 0) rowsByCells.set(cells, (rowsByCells.get(cells) ?? 0) + 1);
    }
    for (const [columns, rows] of rowsByCells) {
      const score = rows * (columns >= 2 ? 2 : 1);
      if (score <= bestScore * 1.02) continue;
      bestScore = score;
      best = { dialect, rows, columns };
    }
  }
  return best;
}

/**
 * All runs of numeric rows and all lines of text, in one pass over the bytes.
 *
 * A blank or other line, or a change of the number of cells, ends a run. Columns are typed arrays that grow to what the rest of
 * the file can hold at the most, so that a large file is held once.
 *
 * @throws InputError where the file falls into too many runs to be a table
 */
export function findTables(bytes: Uint8Array, dialect: Dialect, file: string): FoundTables {
  const out = new Float64Array(MOST_COLUMNS);
  const stop = lineEndOf(bytes);
  const tables: NumberTable[] = [];
  const texts: TextLine[] = [];
  const oddRows: OddRow[] = [];
  let columns: Float64Array[] = [];
  let rows = 0;
  let firstLine = 0;
  let line = 0;
  let pos = 0;
  let lastLine = { line: 0, start: 0, end: 0, closed: false };
  const cursor = { pos: 0, row: 0 };

  let tableStart = 0;
  const close = (): void => {
    if (rows > 0) tables.push({ columns: columns.map((c) => fitted(c, rows)), rows, firstLine, lastLine: line - 1 });
    if (tables.length > MOST_TABLES)
      throw new InputError({
        file,
        place: `line ${line + 1}`,
        found: `rows of ever-changing numbers of cells (${tables.length} runs so far)`,
        expected: 'a table of frequency and level',
        wayOut: 'Export the trace alone, as text.',
      });
    columns = [];
    rows = 0;
  };
  const grow = (): void => {
    // small tables grow in steps; a long one is given what the rest of the file can hold, so that it is copied once only
    const bytesPerRow = rows < 4096 ? 2 * columns.length : (0.95 * (pos - tableStart)) / rows;
    const toCome = Math.ceil((bytes.length - pos) / bytesPerRow) + 16;
    const size = rows + (rows < 4096 ? Math.min(3 * rows, toCome) : toCome);
    columns = columns.map((column) => {
      const grown = new Float64Array(size);
      grown.set(column);
      return grown;
    });
  };

  while (pos < bytes.length) {
    if (rows >= 4) {
      cursor.pos = pos;
      cursor.row = rows;
      parsePlainRows(bytes, dialect, stop, columns, cursor);
      line += cursor.row - rows;
      rows = cursor.row;
      pos = cursor.pos;
      if (pos >= bytes.length) {
        lastLine = { line: line - 1, start: pos, end: pos, closed: true };
        break;
      }
      if (rows === columns[0]!.length) {
        grow();
        continue;
      }
    }
    const at = bytes.indexOf(stop, pos);
    const next = at < 0 ? bytes.length : at;
    const end = endOfText(bytes, pos, next);
    lastLine = { line, start: pos, end, closed: at >= 0 };
    let cells = parseRow(bytes, pos, end, dialect, out);
    // a delimiter at the end usually closes the row; where the table has one column more it is an empty last cell
    if (rows > 0 && cells > 0 && cells === columns.length - 1 && bytes[end - 1] === dialect.delimiter)
      out[cells++] = NaN;
    if (cells === NOT_NUMERIC || cells === 0) {
      close();
      if (cells === NOT_NUMERIC && texts.length < MOST_TEXT_LINES) texts.push({ line, start: pos, end });
    } else {
      if (rows > 0 && cells !== columns.length) {
        oddRows.push({ line, cells, expected: columns.length });
        close();
      }
      if (rows === 0) {
        firstLine = line;
        tableStart = pos;
        columns = Array.from({ length: cells }, () => new Float64Array(8));
      }
      if (rows === columns[0]!.length) grow();
      for (let c = 0; c < cells; c++) columns[c]![rows] = out[c]!;
      rows++;
    }
    line++;
    pos = next + 1;
  }
  close();
  return { tables, texts, oddRows, lineCount: line, lastLine };
}

/** A column cut to its rows; copied where much of the array would be kept for nothing. */
function fitted(column: Float64Array, rows: number): Float64Array {
  return column.length > 1.2 * rows ? column.slice(0, rows) : column.subarray(0, rows);
}
