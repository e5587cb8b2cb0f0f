import { InputError } from '../../model/input-problem.ts';
import type { LevelUnit } from '../../model/level-unit.ts';
import { frequencyFactor, parseLevelUnit } from '../../units/parse-unit.ts';
import { plainText, splitAt } from './cells.ts';
import type { Dialect } from './rows.ts';
import { allLines, encodeText, type TextBytes } from './text.ts';

/** A text whose rows were not plain numbers, with its cells written anew; every other line stands as it was. */
export interface PlainCells {
  readonly bytes: Uint8Array;
  readonly dialect: Dialect;
  /** The unit behind the numbers of a column, null where none stood there. Frequencies are in Hz already. */
  readonly units: readonly (LevelUnit | 'Hz' | null)[];
  readonly warnings: readonly string[];
}

/** Larger files are not written anew: what writes a unit into every cell writes no gigabytes. */
const LARGEST = 1 << 28;
/** A column is text where at least this share of its rows holds no number. */
const TEXT_SHARE = 0.8;
const MOST_CELLS = 64;

interface Cell {
  readonly sign: string;
  /** Digits with their separators, blanks taken out. */
  readonly body: string;
  readonly exponent: number;
  readonly unit: string;
}

/**
 * Writes rows anew whose cells hold more than a number: units (`1.5 MHz`), thousands separators, a typographic minus, words beside
 * the numbers (a detector, a unit or a time in a column of its own).
 *
 * Nothing is rounded: a unit becomes an exponent. Which of point and comma is the decimal sign is decided once for the file, by the
 * cells that leave no doubt; where none does, the file is refused.
 *
 * @returns null where no delimiter gives rows with two numbers
 * @throws InputError where separators or units contradict each other
 */
export function writePlainCells(text: TextBytes, file: string): PlainCells | null {
  if (text.bytes.length > LARGEST) return null;
  const lines = allLines(text);
  const delimiter = bestDelimiter(lines);
  if (delimiter === null) return null;
  const { mark, cells: width } = delimiter;

  const rows: { line: number; cells: string[] }[] = [];
  for (const [l, line] of lines.entries()) {
    if (line.length > 4000) continue;
    const cells = cellsOf(line, mark, width);
    if (cells !== null) rows.push({ line: l, cells });
  }
  const columns = Array.from({ length: width }, (_, c) => describeColumn(rows.map(({ cells }) => cells[c]!)));
  const numeric = columns.filter((column) => !column.text).length;
  if (rows.length < 2 || numeric < 2) return null;
  const decimal = decimalSign(rows, columns, file);

  const units: (LevelUnit | 'Hz' | null)[] = columns.map(() => null);
  const exponents = columns.map(() => 0);
  for (const [c, column] of columns.entries()) {
    // a column of nothing but one unit speaks of the column before it
    if (!column.text || column.onlyValue === null || c === 0) continue;
    const factor = frequencyFactor(column.onlyValue);
    if (factor !== null) {
      exponents[c - 1] = Math.log10(factor);
      units[c - 1] = 'Hz';
    } else units[c - 1] = parseLevelUnit(column.onlyValue);
  }
  const lastByte = text.bytes[text.bytes.length - 1];
  const closed = lastByte === 10 || lastByte === 13;
  // header and statements stand as they were: the rows keep their delimiter
  const delimiterWritten = mark === '  ' ? ';' : mark;
  const out = [...lines];
  for (const { line, cells } of rows) {
    const written = cells.map((cell, c) => {
      if (columns[c]!.text) return '';
      const read = readCell(cell);
      if (read === null) {
        if (/\d/.test(cell)) throw damaged(cell, line, c, file);
        return '';
      }
      let exponent = read.exponent + exponents[c]!;
      if (read.unit !== '') {
        const factor = frequencyFactor(read.unit);
        const unit = factor === null ? parseLevelUnit(read.unit) : null;
        const before = units[c] ?? null;
        const name = factor !== null ? 'Hz' : (unit?.name ?? read.unit);
        const same = before === null || (before === 'Hz' ? factor !== null : before.name === name);
        if ((factor === null && unit === null) || !same)
          throw new InputError({
            file,
            place: `line ${line + 1}, column ${c + 1}`,
            found: `the unit “${read.unit}”${same || before === null ? '' : ` after ${before === 'Hz' ? 'Hz' : before.name} in the rows above`}`,
            expected: 'one known unit throughout the column',
            wayOut: 'Export the column in one unit, named in the header.',
          });
        if (factor !== null) exponent += Math.log10(factor);
        units[c] = factor !== null ? 'Hz' : unit;
      }
      const body = decimalBody(read.body, decimal);
      if (body === null) throw damaged(cell, line, c, file);
      return `${read.sign}${body}${exponent === 0 ? '' : `e${exponent}`}`;
    });
    // a row that starts or ends with a text column keeps its number of cells
    out[line] = written.map((cell) => (cell === '' ? 'nan' : cell)).join(delimiterWritten);
  }
  const left = columns.flatMap((column, c) => (column.text ? [c + 1] : []));
  return {
    bytes: encodeText(out.join('\n') + (closed ? '\n' : '')),
    dialect: { delimiter: delimiterWritten.charCodeAt(0), decimalComma: false },
    units,
    warnings: left.length === 0 ? [] : [`Column ${left.join(', ')} holds words, not numbers, and was left out.`],
  };
}

function damaged(cell: string, line: number, c: number, file: string): InputError {
  return new InputError({
    file,
    place: `line ${line + 1}, column ${c + 1}`,
    found: `“${cell.slice(0, 40)}”`,
    expected: 'a number',
    wayOut: 'Correct or delete that line, or leave the cell empty where there is no value.',
  });
}

/** The delimiter and number of cells under which the most lines hold two numbers or more. */
function bestDelimiter(lines: readonly string[]): { mark: string; cells: number } | null {
  const sample = [...lines.slice(0, 400), ...lines.slice(Math.max(400, lines.length >> 1), (lines.length >> 1) + 400)];
  let best: { mark: string; cells: number } | null = null;
  let most = 1;
  for (const mark of [';', '\t', '|', ',', '  ']) {
    const counts = new Map<number, number>();
    for (const line of sample) {
      if (line.length > 4000) continue;
      const cells = splitLine(line, mark);
      if (cells.length < 2 || cells.length > MOST_CELLS || cells.filter((cell) => readCell(cell) !== null).length < 2)
        continue;
      counts.set(cells.length, (counts.get(cells.length) ?? 0) + 1);
    }
    for (const [cells, count] of counts)
      if (count > 1.02 * most) {
        most = count;
        best = { mark, cells };
      }
  }
  return best;
}

function splitLine(line: string, mark: string): string[] {
  const text = plainText(line)
    .replace(/^[([{]+(?=.*[)\]}][,;]?$)/, '')
    .replace(/[)\]}]+[,;]?$/, '');
  const cells = mark === '  ' ? text.split(/\s{2,}/) : splitAt(text, mark);
  return cells.length > 1 && cells[cells.length - 1] === '' ? cells.slice(0, -1) : cells;
}

/** The cells of a line that is a row: as many as asked for, two numbers among them. */
function cellsOf(line: string, mark: string, width: number): string[] | null {
  if (!/\d/.test(line)) return null;
  const cells = splitLine(line, mark);
  return cells.length === width && cells.filter((cell) => readCell(cell) !== null).length >= 2 ? cells : null;
}

function describeColumn(cells: readonly string[]): { text: boolean; onlyValue: string | null } {
  const numbers = cells.filter((cell) => readCell(cell) !== null).length;
  const text = numbers < (1 - TEXT_SHARE) * cells.length;
  const values = new Set(cells);
  return { text, onlyValue: text && values.size === 1 ? cells[0]! : null };
}

const CELL =
  /^([+\-–]?) ?(\d(?:[\d.,' ]*\d)?[.,]?|[.,]\d+)(?:[eE]([+-]?\d{1,3}))? ?([^\d\s.,;:+-][^\d;:]{0,11}\d?\)?)?$/;

/** A cell that is one number with an optional unit; null for words, dates and times. */
function readCell(text: string): Cell | null {
  if (text.length > 48) return null;
  const match = CELL.exec(text);
  if (match === null) return null;
  const unit = (match[4] ?? '').trim();
  if (unit !== '' && frequencyFactor(unit) === null && parseLevelUnit(unit) === null) return null;
  const body = match[2]!;
  if (/[ ']/.test(body) && !/^\d{1,3}(?:[ ']\d{3})+(?:[.,]\d*)?$/.test(body)) return null;
  return {
    sign: match[1] === '-' || match[1] === '–' ? '-' : '',
    body: body.replace(/[ ']/g, ''),
    exponent: Number(match[3] ?? 0),
    unit,
  };
}

/** The decimal sign of the file, by the cells that leave no doubt. */
function decimalSign(
  rows: readonly { line: number; cells: string[] }[],
  columns: readonly { text: boolean }[],
  file: string,
): '.' | ',' {
  let points = 0;
  let commas = 0;
  let doubtful: { line: number; column: number; cell: string } | null = null;
  for (const { line, cells } of rows)
    for (const [c, cell] of cells.entries()) {
      const body = columns[c]!.text ? undefined : readCell(cell)?.body;
      if (body === undefined) continue;
      const pointCount = body.split('.').length - 1;
      const commaCount = body.split(',').length - 1;
      if (pointCount + commaCount === 0) continue;
      // two kinds: the last is the decimal sign; one kind twice: a thousands separator; once, not before three digits: the decimal sign
      const sign =
        pointCount > 0 && commaCount > 0
          ? body[Math.max(body.lastIndexOf('.'), body.lastIndexOf(','))]
          : pointCount > 1
            ? ','
            : commaCount > 1
              ? '.'
              : /^[1-9]\d{0,2}[.,]\d{3}$/.test(body)
                ? null
                : pointCount > 0
                  ? '.'
                  : ',';
      if (sign === '.') points++;
      else if (sign === ',') commas++;
      else if (commaCount > 0) doubtful ??= { line, column: c, cell };
    }
  if (points > 0 && commas === 0) return '.';
  if (commas > 0 && points === 0) return ',';
  if (points === 0 && commas === 0 && doubtful === null) return '.';
  const where = doubtful ?? { line: rows[0]!.line, column: 0, cell: rows[0]!.cells[0]! };
  throw new InputError({
    file,
    place: `line ${where.line + 1}, column ${where.column + 1}`,
    found: `“${where.cell.slice(0, 40)}”, whose comma or point may part decimals or thousands`,
    expected: 'numbers that can be read in one way only',
    wayOut: 'Export without thousands separators.',
  });
}

/** The digits with a decimal point and no thousands separators; null where the groups are not of three digits. */
function decimalBody(body: string, decimal: '.' | ','): string | null {
  const thousands = decimal === '.' ? ',' : '.';
  const parts = body.split(decimal);
  if (parts.length > 2) return null;
  const groups = parts[0]!.split(thousands);
  if (groups.length > 1 && (groups[0]!.length > 3 || groups.slice(1).some((group) => group.length !== 3))) return null;
  if (parts[1]?.includes(thousands) === true) return null;
  return `${groups.join('')}${parts.length === 2 ? `.${parts[1]!}` : ''}`;
}
