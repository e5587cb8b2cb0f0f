import { InputError } from '../../model/input-problem.ts';

/**
 * Columns of doubles as CSV: each number in the shortest decimal form that reads back to the same double (ECMA-262, Number::toString),
 * an empty cell where there is none (NaN). Any program that reads IEEE 754 doubles gets the same bits.
 *
 * @param heads names of the columns with their units
 * @param columns all of the same length
 */
export function columnsCsv(heads: readonly string[], columns: readonly Float64Array[]): string {
  const rows = columns[0]?.length ?? 0;
  const lines = new Array<string>(rows + 1);
  lines[0] = heads.join(',');
  for (let i = 0; i < rows; i++) {
    let line = '';
    for (let c = 0; c < columns.length; c++) line += (c === 0 ? '' : ',') + numberText(columns[c]![i]!);
    lines[i + 1] = line;
  }
  return `${lines.join('\n')}\n`;
}

function numberText(value: number): string {
  if (Number.isNaN(value)) return '';
  return Object.is(value, -0) ? '-0' : String(value);
}

/**
 * The columns of such a text.
 *
 * @throws InputError with the line where it is not what columnsCsv writes
 */
export function parseColumnsCsv(text: string, file: string, heads: readonly string[]): Float64Array[] {
  const lines = text.split('\n');
  if (lines.at(-1) === '') lines.pop();
  if (lines[0] !== heads.join(',')) throw wrong(file, 1, lines[0] ?? '', heads.join(','));
  const columns = heads.map(() => new Float64Array(lines.length - 1));
  for (let i = 1; i < lines.length; i++) {
    const cells = lines[i]!.split(',');
    if (cells.length !== heads.length) throw wrong(file, i + 1, lines[i]!, `${heads.length} numbers`);
    for (let c = 0; c < cells.length; c++) {
      const cell = cells[c]!;
      const value = cell === '' ? NaN : Number(cell);
      if (cell !== '' && (Number.isNaN(value) || cell.trim() !== cell)) throw wrong(file, i + 1, cell, 'a number');
      columns[c]![i - 1] = value;
    }
  }
  return columns;
}

function wrong(file: string, line: number, found: string, expected: string): InputError {
  return new InputError({
    file,
    place: `line ${line}`,
    found: `"${found.slice(0, 60)}"`,
    expected,
    wayOut: 'Take the packet again from where it was issued.',
  });
}
