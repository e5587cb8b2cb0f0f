import { InputError } from '../../model/input-problem.ts';
import type { TextLine } from './find-tables.ts';
import { COMMA, NOT_NUMERIC, parseRow, type Dialect } from './rows.ts';

const THOUSANDS = /^[1-9]\d{0,2}(?:,\d{3})+$/;

/**
 * The dialect found, with second thoughts about its commas.
 *
 * Decimal commas that could all be thousands separators (`150,000` and nothing else) are refused: the two readings differ a
 * thousandfold. Two columns of whole numbers parted by commas, the first running up and down, the second never negative and of one
 * width, are one column with decimal commas.
 *
 * @throws InputError
 */
export function chosenDialect(bytes: Uint8Array, lines: readonly TextLine[], dialect: Dialect, file: string): Dialect {
  if (dialect.decimalComma && dialect.delimiter !== COMMA) refuseDoubtfulCommas(bytes, lines, dialect, file);
  return dialect.delimiter === COMMA && isOneColumnOfDecimals(bytes, lines)
    ? { delimiter: 59, decimalComma: true }
    : dialect;
}

function refuseDoubtfulCommas(bytes: Uint8Array, lines: readonly TextLine[], dialect: Dialect, file: string): void {
  const out = new Float64Array(4096);
  const delimiter = dialect.delimiter === 32 ? /[ \t]+/ : String.fromCharCode(dialect.delimiter);
  let doubtful: { line: number; cell: string } | null = null;
  for (const { line, start, end } of lines) {
    if (end - start > 1000 || parseRow(bytes, start, end, dialect, out) < 1) continue;
    for (const cell of latin1(bytes, start, end).split(delimiter)) {
      const bare = cell.replace(/["\s+]/g, '');
      if (!bare.includes(',')) continue;
      // a negative number of thousands is no level, and no frequency
      if (!THOUSANDS.test(bare)) return;
      doubtful ??= { line, cell: bare };
    }
  }
  if (doubtful === null) return;
  throw new InputError({
    file,
    place: `line ${doubtful.line + 1}`,
    found: `“${doubtful.cell}”, whose comma may part decimals or thousands`,
    expected: 'numbers that can be read in one way only',
    wayOut: 'Export without thousands separators, or with another number of decimals than three.',
  });
}

function isOneColumnOfDecimals(bytes: Uint8Array, lines: readonly TextLine[]): boolean {
  const out = new Float64Array(4096);
  const comma: Dialect = { delimiter: COMMA, decimalComma: false };
  let width = -1;
  let rows = 0;
  let before = NaN;
  let ups = 0;
  let downs = 0;
  let lastBehind = -1;
  let behindRises = true;
  for (const { start, end } of lines) {
    const cells = parseRow(bytes, start, end, comma, out);
    if (cells === NOT_NUMERIC || cells === 0) continue;
    const text = latin1(bytes, start, Math.min(end, start + 40)).trim();
    const match = /^[+-]?\d+,(\d+)$/.exec(text);
    if (match === null || (width >= 0 && match[1]!.length !== width)) return false;
    width = match[1]!.length;
    if (out[1]! <= lastBehind) behindRises = false;
    lastBehind = out[1]!;
    const value = out[0]! + (text.startsWith('-') ? -1 : 1) * Number(`0.${match[1]!}`);
    if (value > before) ups++;
    else if (value < before) downs++;
    before = value;
    rows++;
  }
  return rows > 4 && ups > 1 && downs > 1 && !behindRises;
}

function latin1(bytes: Uint8Array, start: number, end: number): string {
  let text = '';
  for (let i = start; i < end; i++) text += String.fromCharCode(bytes[i]!);
  return text;
}
