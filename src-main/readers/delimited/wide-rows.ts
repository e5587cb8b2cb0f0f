import { isNumber, plainText, splitAt } from './cells.ts';
import type { Dialect } from './rows.ts';
import { encodeText } from './text.ts';

/** A row with fewer numbers than this is a row of a table, not a trace lying on its side. */
const LEAST_NUMBERS = 16;
const MOST_ROWS = 12;
const MOST_LINES = 400;

/**
 * Traces that lie on their side: one line with all frequencies, one with all levels, each perhaps with its name in front.
 *
 * They are written upright, one point a line under the lines of text, with their names as header; null where the text is not so.
 */
export function writeUpright(lines: readonly string[]): { bytes: Uint8Array; dialect: Dialect } | null {
  if (lines.length > MOST_LINES) return null;
  const rows: { name: string; cells: readonly string[] }[] = [];
  const texts: string[] = [];
  for (const text of lines) {
    const row = text.length < 2 * LEAST_NUMBERS ? null : wideRow(text);
    if (row !== null) rows.push(row);
    else if (text.length < 4000) texts.push(text);
  }
  const count = rows[0]?.cells.length ?? 0;
  if (rows.length === 0 || rows.length > MOST_ROWS || rows.some(({ cells }) => cells.length !== count)) return null;
  const upright = Array.from({ length: count }, (_, i) => rows.map(({ cells }) => cells[i]!).join(';'));
  const header = rows.some(({ name }) => name !== '') ? [rows.map(({ name }) => name).join(';')] : [];
  return {
    bytes: encodeText([...texts, ...header, ...upright].join('\n')),
    dialect: { delimiter: 59, decimalComma: upright.some((row) => row.includes(',')) },
  };
}

/** The numbers of a line that holds many and nothing else, but for a name in front. */
function wideRow(text: string): { name: string; cells: readonly string[] } | null {
  const bare = plainText(text).replace(/[[\]{}]/g, ' ');
  for (const delimiter of ['\t', ';', ',', ' ']) {
    const cells = (delimiter === ' ' ? bare.trim().split(/\s+/) : splitAt(bare, delimiter)).filter(
      (cell) => cell !== '',
    );
    if (cells.length < LEAST_NUMBERS) continue;
    let from = 0;
    while (from < 8 && from < cells.length && !isNumber(cells[from]!)) from++;
    const numbers = cells.slice(from);
    if (numbers.length < LEAST_NUMBERS || !numbers.every(isNumber)) continue;
    return {
      name: cells
        .slice(0, from)
        .join(' ')
        .replace(/[;:=]+$/, '')
        .replaceAll(';', ' ')
        .trim(),
      cells: numbers,
    };
  }
  return null;
}
