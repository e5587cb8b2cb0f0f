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

/** The sheet as text with tabs between the cells, for the reader of delimited text. */
export function sheetText({ rows }: Sheet): Uint8Array {
  return encodeText(
    rows.map((cells) => cells.map((cell) => cell.replace(/[\t\r\n]+/g, ' ')).join('\t')).join('\n') + '\n',
  );
}
