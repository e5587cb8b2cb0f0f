import Papa from 'papaparse';
import { InputError } from '../../model/input-problem.ts';

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

/**
 * Parses an input table: a header names the columns in any order, one entry a row. Semicolons with decimal commas, tabs and a
 * byte-order mark are taken as they come. Unknown columns are refused: a misspelt column would be silently empty.
 *
 * @throws InputError naming line and column
 */
export function parseTable(
  text: string,
  file: string,
  columns: readonly string[],
  required: readonly string[],
): TableRow[] {
  const bare = text.replace(/^\ufeff/, '');
  const head = bare.slice(0, Math.max(0, bare.search(/[\r\n]|$/)));
  const delimiter = [';', '\t', ','].find((candidate) => head.includes(candidate)) ?? ',';
  const parsed = Papa.parse<string[]>(bare, { delimiter, skipEmptyLines: false });
  const quote = parsed.errors.find((error) => error.type === 'Quotes');
  if (quote !== undefined)
    throw new InputError({
      file,
      place: `line ${(quote.row ?? 0) + 1}`,
      found: 'a quote that is not closed',
      expected: 'quotes in pairs',
      wayOut: 'Close the quote, or double it inside a quoted cell.',
    });
  const [header, ...rows] = parsed.data;
  const names = (header ?? []).map((name) => name.trim().toLowerCase());
  for (const name of required)
    if (!names.includes(name))
      throw new InputError({
        file,
        place: 'line 1',
        found: names.join(',') === '' ? 'no header' : `the columns ${names.join(', ')}`,
        expected: `a column ${name}`,
        wayOut: `Name the columns in the first line; ${required.join(', ')} must be there.`,
      });
  for (const [c, name] of names.entries()) {
    if (name === '' && c === names.length - 1) continue;
    if (!columns.includes(name))
      throw new InputError({
        file,
        place: `line 1, column ${c + 1}`,
        found: `the column “${name}”`,
        expected: columns.join(', '),
        wayOut: 'Correct the name, or take the column out.',
      });
    if (names.indexOf(name) !== c)
      throw new InputError({
        file,
        place: `line 1, column ${c + 1}`,
        found: `the column ${name} a second time`,
        expected: 'each column once',
        wayOut: 'Take one of them out.',
      });
  }
  return rows.flatMap((cells, r) => {
    if (cells.every((cell) => cell.trim() === '')) return [];
    if (cells.length > names.length && cells.slice(names.length).some((cell) => cell.trim() !== ''))
      throw new InputError({
        file,
        place: `line ${r + 2}`,
        found: `${cells.length} cells`,
        expected: `${names.length}, as many as the header names`,
        wayOut: 'Quote cells that hold the delimiter, or take the extra cells out.',
      });
    const entries = names.map((name, c) => [name, restoreText((cells[c] ?? '').trim())] as const);
    return [new TableRow(file, r + 2, new Map(entries), delimiter !== ',')];
  });
}

/** A cell that a spreadsheet would take for a formula gets an apostrophe before it. */
export function guardText(text: string): string {
  return /^[=+\-@\t\r']/.test(text) ? `'${text}` : text;
}

function restoreText(text: string): string {
  return /^'[=+\-@\t\r']/.test(text) ? text.slice(1) : text;
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
