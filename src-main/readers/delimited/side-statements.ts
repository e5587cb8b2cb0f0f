import { isNumber, splitAt } from './cells.ts';
import type { Dialect } from './rows.ts';
import { allLines, encodeText, type TextBytes } from './text.ts';

/** Rows that must agree before columns at the left are taken for statements. */
const LEAST_ROWS = 8;
const MOST_SIDE_COLUMNS = 6;
const MOST_BYTES = 1 << 27;

/**
 * Settings in the left columns of the first rows, with the table in the right columns of the same rows: the statements are put above
 * the table, each on a line of its own, and every row keeps its right part only. Null where the text is not so.
 *
 * It is so where every row has the same number of cells, the right ones (two or more) are numbers in all of them, and the left ones
 * hold words in some rows and nothing in most.
 */
export function withoutSideStatements(
  text: TextBytes,
  mark: ',' | ';' | '\t',
): { bytes: Uint8Array; dialect: Dialect } | null {
  if (text.bytes.length > MOST_BYTES) return null;
  const lines = allLines(text).filter((line) => line.trim() !== '');
  if (lines.length < LEAST_ROWS) return null;
  // a quick look at the end of the text, where only numbers stand
  const last = splitAt(lines[lines.length - 1]!, mark);
  const before = splitAt(lines[lines.length - 2]!, mark);
  const side = before.findIndex((cell) => cell !== '');
  if (side < 1 || side > MOST_SIDE_COLUMNS || before.length - side < 2) return null;
  const rows = lines.map((line) => splitAt(line, mark));
  const width = before.length;
  const whole = last.length === width && last.slice(side).every(isNumber) ? rows : rows.slice(0, -1);
  let empty = 0;
  const statements: string[] = [];
  for (const cells of whole) {
    if (cells.length !== width || !cells.slice(side).every((cell) => cell === '' || isNumber(cell))) return null;
    const left = cells.slice(0, side);
    if (left.every((cell) => cell === '')) empty++;
    else statements.push(left.join(mark));
  }
  if (statements.length === 0 || empty < 0.5 * whole.length) return null;
  const stated = (key: RegExp): string | null => {
    const line = statements.find((text) => key.test(text));
    return line === undefined ? null : (splitAt(line, mark)[1] ?? null);
  };
  const withUnit = (name: string, unit: string | null): string => (unit === null ? name : `${name} (${unit})`);
  const header = Array.from({ length: width - side }, (_, c) =>
    c === 0
      ? withUnit('column 1', stated(/^(?:horizontal|x) units?\b/i))
      : withUnit(stated(/^source\b/i) ?? `column ${c + 1}`, stated(/^(?:vertical|y) units?\b/i)),
  ).join(mark);
  const right = whole.map((cells) => cells.slice(side).join(mark));
  return {
    bytes: encodeText([...statements, '', header, ...right, ''].join('\n')),
    dialect: { delimiter: mark.charCodeAt(0), decimalComma: false },
  };
}
