import { InputError } from '../../model/input-problem.ts';
import { encodeText } from '../delimited/text.ts';

/** A sheet as rows of cells, each its text or its number as written. */
export interface Sheet {
  readonly name: string;
  readonly rows: readonly (readonly string[])[];
}

export const MOST_COLUMNS = 4096;
/** Cells, also empty ones before a filled one, that may stand in few bytes; beyond, a cell takes a few bytes at least. */
const FREE_CELLS = 20_000;
const BYTES_PER_CELL = 8;

/** Collects the cells of one sheet and refuses more than a table has. */
export class SheetCells {
  readonly rows: string[][] = [];
  #cells = 0;
  readonly #file: string;
  readonly #name: string;
  readonly #most: number;

  /** @param contentBytes of the sheet: repeated and skipped cells must stay in proportion to it */
  constructor(file: string, name: string, contentBytes: number) {
    this.#file = file;
    this.#name = name;
    this.#most = FREE_CELLS + Math.floor(contentBytes / BYTES_PER_CELL);
  }

  /** Puts a cell that holds something; row and column count from 0. Cells beyond the widest table are left out. */
  put(row: number, column: number, text: string): void {
    if (column >= MOST_COLUMNS || text === '') return;
    this.#count(Math.max(0, row - this.rows.length + 1) + 1);
    while (this.rows.length <= row) this.rows.push([]);
    const cells = this.rows[row]!;
    this.#count(Math.max(0, column - cells.length));
    while (cells.length < column) cells.push('');
    cells[column] = text;
  }

  #count(more: number): void {
    this.#cells += more;
    if (this.#cells <= this.#most) return;
    throw new InputError({
      file: this.#file,
      place: `sheet “${this.#name.slice(0, 60)}”`,
      found: `more than ${this.#most} cells in a few bytes, repeated or far apart`,
      expected: 'a table of numbers',
      wayOut: 'Export the table as CSV.',
    });
  }
}

/**
 * The sheet as text with tabs between the cells, for the reader of delimited text. Rows shorter than most are filled up with empty
 * cells: a sheet does not store cells that hold nothing.
 */
export function sheetText({ rows }: Sheet): Uint8Array {
  const width = commonWidth(rows);
  const line = (cells: readonly string[]): string => {
    const text = cells.map((cell) => cell.replace(/[\t\r\n]+/g, ' ')).join('\t');
    return cells.length > 0 && cells.length < width ? text + '\t'.repeat(width - cells.length) : text;
  };
  return encodeText(rows.map(line).join('\n') + '\n');
}

/** The number of cells that most rows have, of rows with more than one. */
function commonWidth(rows: Sheet['rows']): number {
  const counts = new Map<number, number>();
  let best = 0;
  for (const { length } of rows) {
    if (length < 2) continue;
    const count = (counts.get(length) ?? 0) + 1;
    counts.set(length, count);
    if (count > (counts.get(best) ?? 0)) best = length;
  }
  return best;
}
