import { terminalText } from './terminal-text.ts';

/** A cell of a table that is written for other programs. */
export type Cell = string | number | boolean | null;

/**
 * One cell of a CSV. A text that a spreadsheet would take for a formula (it starts with = + - @, a tab or a line end, blanks aside)
 * gets an apostrophe in front; numbers are written as they are.
 */
export function csvCell(value: Cell): string {
  if (value === null) return '';
  if (typeof value !== 'string') return typeof value === 'number' && !Number.isFinite(value) ? '' : String(value);
  const shown = terminalText(value.replace(/\r\n?|\n/g, ' '));
  const plain = /^[\s]*[=+\-@\t\r\n＝＋－＠]/.test(value) ? `'${shown}` : shown;
  return /[",;\n\r]/.test(plain) || plain !== plain.trim() ? `"${plain.replaceAll('"', '""')}"` : plain;
}

/** A table as CSV (RFC 4180 with line feeds), its first row the heads. */
export function csvTable(heads: readonly string[], rows: readonly (readonly Cell[])[]): string {
  return [heads, ...rows].map((row) => `${row.map(csvCell).join(',')}\n`).join('');
}
