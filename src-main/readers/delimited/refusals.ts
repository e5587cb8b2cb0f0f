import { InputError } from '../../model/input-problem.ts';
import type { Line } from './cells.ts';
import type { FoundTables, NumberTable } from './find-tables.ts';
import type { Dialect } from './rows.ts';

/** No table of numbers anywhere: shows how the text begins. */
export function noTable(firstText: Line | null, file: string): InputError {
  const begins = firstText === null ? '' : firstText.text.slice(0, 60);
  return new InputError({
    file,
    place: `line ${firstText?.line ?? 1}`,
    found: begins === '' ? 'no table of numbers' : `no table of numbers; the text begins “${begins}”`,
    expected: 'at least two rows of numbers: a frequency and a level, separated by comma, semicolon, tab or blanks',
    wayOut: 'Export the trace data (not a picture or a set-up file) as text.',
  });
}

/**
 * Rows with another number of cells. One that is the file's last line is a file cut off: it is left out and said. Any other may mean
 * that decimal commas were taken for delimiters, or lost cells: the file is refused.
 */
export function refuseOddRows(found: FoundTables, blocks: readonly NumberTable[], file: string): string[] {
  const warnings: string[] = [];
  for (const odd of found.oddRows) {
    const block = blocks.find(({ firstLine, lastLine }) => odd.line > firstLine && odd.line <= lastLine + 1);
    if (block === undefined || odd.expected !== block.columns.length) continue;
    if (odd.line >= found.lineCount - 1) {
      warnings.push(
        `Line ${odd.line + 1} has ${odd.cells} of ${odd.expected} cells: the file looks cut off there, and that line is left out.`,
      );
      continue;
    }
    throw new InputError({
      file,
      place: `line ${odd.line + 1}`,
      found: `${odd.cells} ${odd.cells === 1 ? 'number' : 'numbers'}`,
      expected: `${odd.expected}, as in the lines above`,
      wayOut: 'Correct or delete that line; part several tables with a blank line.',
    });
  }
  return warnings;
}

/** A line between rows of one block that begins like a row and is none: a damaged number. */
export function refuseDamagedRow(lines: readonly Line[], dialect: Dialect, file: string): void {
  const delimiter = String.fromCharCode(dialect.delimiter);
  for (const { text, line } of lines) {
    const cells = dialect.delimiter === 32 ? text.trim().split(/\s+/) : text.split(delimiter);
    if (cells.length < 2 || !/^\s*"?[+-]?[\d.]/.test(text)) continue;
    const number = dialect.decimalComma
      ? /^\s*"?[+-]?[\d,]+(?:e[+-]?\d+)?"?\s*$/i
      : /^\s*"?[+-]?[\d.]+(?:e[+-]?\d+)?"?\s*$/i;
    const bad = cells.findIndex((cell) => cell.trim() !== '' && !number.test(cell));
    if (bad < 0) continue;
    throw new InputError({
      file,
      place: `line ${line}, column ${bad + 1}`,
      found: `“${cells[bad]!.trim().slice(0, 40)}”`,
      expected: 'a number',
      wayOut: 'Correct or delete that line, or leave the cell empty where there is no value.',
    });
  }
}

/**
 * Commas that part cells and decimals alike (`1000,5,-80,3`) cannot be told apart: columns of whole numbers without any decimal point,
 * every second of them never negative, and no header that names them all.
 */
export function refuseTwoKindsOfComma(table: NumberTable, names: number, dialect: Dialect, file: string): void {
  const columns = table.columns;
  if (dialect.delimiter !== 44 || columns.length < 3 || names === columns.length) return;
  const whole = columns.every((column) => column.every((v) => Number.isInteger(v)));
  if (!whole) return;
  // a decimal part behind each number, or behind the last only
  const parts = columns.length % 2 === 0 ? columns.filter((_, c) => c % 2 === 1) : [columns[columns.length - 1]!];
  const digits = (v: number): boolean => v >= 0 && !Object.is(v, -0);
  const mayBeDecimals = parts.every((column) => column.every(digits));
  if (!mayBeDecimals || (columns.length === 3 && parts[0]!.some((v) => v > 99_999))) return;
  throw new InputError({
    file,
    place: `line ${table.firstLine + 1}`,
    found: 'whole numbers parted by commas that may be decimal commas',
    expected: 'decimal points, or another delimiter than the decimal comma',
    wayOut:
      'Export with semicolons or tabs between the columns, or with decimal points; or name every column in a header line.',
  });
}
