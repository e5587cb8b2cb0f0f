import type { LineTable } from './text.ts';
import { BLANK, MOST_COLUMNS, NOT_NUMERIC, parseRow, type Dialect } from './rows.ts';

/** A run of numeric rows with one number of columns. Columns are growable; `rows` of each are valid. */
export interface NumberTable {
  readonly columns: Float64Array[];
  readonly rows: number;
  readonly firstLine: number;
  readonly lastLine: number;
}

const CANDIDATES: readonly Dialect[] = [
  { delimiter: 44, decimalComma: false },
  { delimiter: 59, decimalComma: false },
  { delimiter: 59, decimalComma: true },
  { delimiter: 9, decimalComma: false },
  { delimiter: 9, decimalComma: true },
  { delimiter: 124, decimalComma: false },
  { delimiter: BLANK, decimalComma: false },
  { delimiter: BLANK, decimalComma: true },
];

/** Lines looked at to find the delimiter: the first ones, and a stretch from the middle where the table surely is. */
const SAMPLE_LINES = 600;

/**
 * Finds the delimiter and decimal sign under which the most sampled lines are rows of numbers; two columns or more
 * beat one, and the order of the candidates decides a tie. Null where no line is numeric under any.
 */
export function detectDialect(bytes: Uint8Array, lines: LineTable): Dialect | null {
  const out = new Float64Array(MOST_COLUMNS);
  const sample: number[] = [];
  for (let l = 0; l < Math.min(lines.count, SAMPLE_LINES); l++) sample.push(l);
  const middle = Math.max(SAMPLE_LINES, (lines.count >> 1) - SAMPLE_LINES / 2);
  for (let l = middle; l < Math.min(lines.count, middle + SAMPLE_LINES); l++) sample.push(l);
  let best: Dialect | null = null;
  let bestScore = 0;
  for (const dialect of CANDIDATES) {
    const rowsByCount = new Map<number, number>();
    for (const l of sample) {
      const cells = parseRow(bytes, lines.starts[l]!, lines.ends[l]!, dialect, out);
      if (cells > 0) rowsByCount.set(cells, (rowsByCount.get(cells) ?? 0) + 1);
    }
    let score = 0;
    for (const [cells, rows] of rowsByCount) score = Math.max(score, rows * (cells >= 2 ? 2 : 1));
    if (score > bestScore * 1.02) {
      bestScore = score;
      best = dialect;
    }
  }
  return best;
}

export interface FoundTables {
  readonly tables: NumberTable[];
  /** Lines between the first and last table that are neither numbers, blank nor comment. */
  readonly strayLines: number[];
  /** Rows that broke off a table for having another number of cells. */
  readonly oddRows: { line: number; cells: number; expected: number }[];
}

/** All runs of numeric rows, in order. A blank, comment or other line, or a change of the number of cells, ends a run. */
export function findTables(bytes: Uint8Array, lines: LineTable, dialect: Dialect): FoundTables {
  const out = new Float64Array(MOST_COLUMNS);
  const tables: NumberTable[] = [];
  const strayLines: number[] = [];
  const oddRows: { line: number; cells: number; expected: number }[] = [];
  let columns: Float64Array[] = [];
  let rows = 0;
  let firstLine = 0;
  const close = (line: number): void => {
    if (rows > 0)
      tables.push({ columns: columns.map((c) => c.subarray(0, rows)), rows, firstLine, lastLine: line - 1 });
    columns = [];
    rows = 0;
  };
  for (let l = 0; l < lines.count; l++) {
    let cells = parseRow(bytes, lines.starts[l]!, lines.ends[l]!, dialect, out);
    // a delimiter at the end usually closes the row; where the table has one column more it is an empty last cell
    if (rows > 0 && cells > 0 && cells === columns.length - 1 && bytes[lines.ends[l]! - 1] === dialect.delimiter)
      out[cells++] = NaN;
    if (cells === NOT_NUMERIC || cells === 0) {
      close(l);
      if (cells === NOT_NUMERIC) strayLines.push(l);
      continue;
    }
    if (rows > 0 && cells !== columns.length) {
      oddRows.push({ line: l, cells, expected: columns.length });
      close(l);
    }
    if (rows === 0) {
      firstLine = l;
      columns = Array.from({ length: cells }, () => new Float64Array(1024));
    }
    if (rows === columns[0]!.length)
      columns = columns.map((column) => {
        const grown = new Float64Array(2 * column.length);
        grown.set(column);
        return grown;
      });
    for (let c = 0; c < cells; c++) columns[c]![rows] = out[c]!;
    rows++;
  }
  close(lines.count);
  return { tables, strayLines, oddRows };
}
