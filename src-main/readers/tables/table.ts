import Papa from 'papaparse';
import { InputError } from '../../model/input-problem.ts';

const PASSED_OVER = 'Passed over: ';

/** One row of an input table: cells by column name, with the line it stands on. */
export class TableRow {
  readonly file: string;
  readonly line: number;
  private readonly cells: ReadonlyMap<string, string>;
  private readonly decimalComma: boolean;

  constructor(file: string, line: number, cells: ReadonlyMap<string, string>, decimalComma: boolean) {
    this.file = file;
    this.line = line;
    this.cells = cells;
    this.decimalComma = decimalComma;
  }

  text(column: string): string {
    return this.cells.get(column) ?? '';
  }

  textOrNull(column: string): string | null {
    const text = this.text(column);
    return text === '' ? null : text;
  }

  required(column: string): string {
    const text = this.text(column);
    if (text === '') throw this.problem(column, 'nothing', 'a value', `Fill in ${column}.`);
    return text;
  }

  oneOf<T extends string>(column: string, allowed: readonly T[], fallback: T | null): T {
    const text = this.text(column).toLowerCase();
    if (text === '' && fallback !== null) return fallback;
    if ((allowed as readonly string[]).includes(text)) return text as T;
    throw this.problem(column, text === '' ? 'nothing' : `“${text}”`, allowed.join(', '), 'Use one of these words.');
  }

  /** A number within bounds, or null for an empty cell. */
  number(column: string, low: number, high: number, lowIncluded = true): number | null {
    const text = this.text(column);
    if (text === '') return null;
    const plain = this.decimalComma ? text.replace(',', '.') : text;
    const value = /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/.test(plain) ? Number(plain) : NaN;
    const above = lowIncluded ? value >= low : value > low;
    if (!(above && value <= high))
      throw this.problem(
        column,
        `“${text}”`,
        bounds(low, high, lowIncluded),
        'Write the plain number in the unit that the column name states.',
      );
    return value;
  }

  requiredNumber(column: string, low: number, high: number, lowIncluded = true): number {
    this.required(column);
    return this.number(column, low, high, lowIncluded)!;
  }

  problem(column: string, found: string, expected: string, wayOut: string): InputError {
    return new InputError({ file: this.file, place: `line ${this.line}, column ${column}`, found, expected, wayOut });
  }
}

function bounds(low: number, high: number, lowIncluded: boolean): string {
  const from = low === -Infinity ? '' : `${lowIncluded ? 'at least' : 'more than'} ${low}`;
  const to = high === Infinity ? '' : `at most ${high}`;
  return ['a number', from, to].filter((part) => part !== '').join(' ');
}

export interface ParsedTable {
  readonly rows: readonly TableRow[];
  /** Plain sentences: columns that mean nothing here and were passed over. */
  readonly warnings: readonly string[];
}

/**
 * Parses an input table: a header names the columns in any order, one entry a row. Semicolons with decimal commas, tabs, any line
 * ends and a byte-order mark are taken as they come. An unknown column is passed over with a warning that offers the likely name.
 *
 * @throws InputError naming line and column
 */
export function parseTable(
  text: string,
  file: string,
  columns: readonly string[],
  required: readonly string[],
): ParsedTable {
  const bare = text.replace(/^\ufeff/, '').replace(/\r\n?/g, '\n');
  const delimiter = [';', '\t', ','].find((candidate) => bare.split('\n', 1)[0]!.includes(candidate)) ?? ',';
  const parsed = Papa.parse<string[]>(bare, { delimiter, newline: '\n', skipEmptyLines: false });
  const quote = parsed.errors.find((error) => error.type === 'Quotes');
  if (quote !== undefined)
    throw new InputError({
      file,
      place: `line ${lineOfRow(parsed.data, quote.row ?? 0)}`,
      found: 'a quote that is not closed',
      expected: 'quotes in pairs',
      wayOut: 'Close the quote, or double it inside a quoted cell.',
    });
  const names = (parsed.data[0] ?? []).map((name) => name.trim().toLowerCase());
  checkHeader(names, file, required);
  const warnings = names
    .filter((name) => name !== '' && !columns.includes(name))
    .map((name) => `${PASSED_OVER}the column “${name}” means nothing here.${likely(name, columns)}`);
  let line = 1;
  const rows: TableRow[] = [];
  for (const [r, cells] of parsed.data.entries()) {
    const here = line;
    line += cells.join('').split('\n').length;
    if (r === 0 || cells.every((cell) => cell.trim() === '')) continue;
    if (cells.slice(names.length).some((cell) => cell.trim() !== ''))
      throw new InputError({
        file,
        place: `line ${here}`,
        found: `${cells.length} cells`,
        expected: `${names.length}, as many as the header names`,
        wayOut: 'Quote cells that hold the delimiter, or take the extra cells out.',
      });
    const entries = names.map((name, c) => [name, restoreText((cells[c] ?? '').trim())] as const);
    rows.push(new TableRow(file, here, new Map(entries), delimiter !== ','));
  }
  return { rows, warnings };
}

/** A quoted cell can hold line ends: row and line are two things. */
function lineOfRow(rows: readonly (readonly string[])[], row: number): number {
  return 1 + rows.slice(0, row).reduce((lines, cells) => lines + cells.join('').split('\n').length, 0);
}

function checkHeader(names: readonly string[], file: string, required: readonly string[]): void {
  for (const name of required)
    if (!names.includes(name))
      throw new InputError({
        file,
        place: 'line 1',
        found: names.join('') === '' ? 'no header' : `the columns ${names.join(', ').slice(0, 200)}`,
        expected: `a column ${name}`,
        wayOut: `Name the columns in the first line; ${required.join(', ')} must be there.`,
      });
  for (const [c, name] of names.entries())
    if (name !== '' && names.indexOf(name) !== c)
      throw new InputError({
        file,
        place: `line 1, column ${c + 1}`,
        found: `the column ${name} a second time`,
        expected: 'each column once',
        wayOut: 'Take one of them out.',
      });
}

/** The known column that was probably meant: one that begins alike, or differs in two letters at most. */
function likely(name: string, columns: readonly string[]): string {
  const close = columns.find((column) => column.startsWith(`${name}_`) || distance(name, column) <= 2);
  return close === undefined ? '' : ` Did you mean ${close}?`;
}

/** Letters to insert, delete or replace between two words (Levenshtein 1966). */
function distance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const above = row;
    row = [i];
    for (let j = 1; j <= b.length; j++)
      row.push(Math.min(above[j]! + 1, row[j - 1]! + 1, above[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1)));
  }
  return row[b.length]!;
}

/** A cell that a spreadsheet would take for a formula gets an apostrophe before it. */
export function guardText(text: string): string {
  return /^[=+\-@\t\r']/.test(text) ? `'${text}` : text;
}

function restoreText(text: string): string {
  return /^'[=+\-@\t\r']/.test(text) ? text.slice(1) : text;
}

/** What a table gives: its entries, and plain sentences for the user to read. */
export interface TableContents<T> {
  readonly rows: readonly T[];
  readonly warnings: readonly string[];
}

/**
 * The rows alone, for a caller that has no place to show warnings: a column that would be passed over refuses the table then,
 * since a misspelt one would be silently empty.
 *
 * @throws InputError
 */
export function strictRows<T>({ rows, warnings }: TableContents<T>, file: string): T[] {
  const passedOver = warnings.find((warning) => warning.startsWith(PASSED_OVER));
  if (passedOver === undefined) return [...rows];
  throw new InputError({
    file,
    place: 'line 1',
    found: passedOver,
    expected: 'only columns that mean something',
    wayOut: 'Correct the name, or take the column out.',
  });
}

/** Writes a table that parseTable reads back to the same values. */
export function writeTable(columns: readonly string[], rows: readonly (readonly (string | number | null)[])[]): string {
  return `${Papa.unparse(
    {
      fields: [...columns],
      data: rows.map((row) =>
        row.map((cell) => (cell === null ? '' : typeof cell === 'string' ? guardText(cell) : cell)),
      ),
    },
    { newline: '\n' },
  )}\n`;
}
