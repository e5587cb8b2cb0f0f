import { terminalText } from '../terminal-text.ts';

/**
 * Text for a page: control, format and direction characters are shown as their code point, `‹1B›`, so that a name can neither hide
 * nor reorder what stands beside it. Line ends become blanks.
 */
export function pageText(text: string): string {
  return terminalText(text.replace(/\s*[\r\n]+\s*/g, ' '));
}

/** Text inside HTML or SVG, also inside a quoted attribute. */
export function markupText(text: string): string {
  return pageText(text).replace(/[&<>"']/g, (character) => ENTITIES[character]!);
}

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/**
 * One cell of a CSV. A text that a spreadsheet would take for a formula (it starts with = + - @, a tab or a line end, blanks aside)
 * gets an apostrophe in front; numbers are written as they are.
 */
export function csvCell(value: string | number | boolean | null): string {
  if (value === null) return '';
  if (typeof value !== 'string') return typeof value === 'number' && !Number.isFinite(value) ? '' : String(value);
  const shown = terminalText(value.replace(/\r\n?|\n/g, ' '));
  const plain = /^[\s]*[=+\-@\t\r\n＝＋－＠]/.test(value) ? `'${shown}` : shown;
  return /[",;\n\r]/.test(plain) || plain !== plain.trim() ? `"${plain.replaceAll('"', '""')}"` : plain;
}

/** A table as CSV (RFC 4180 with line feeds), its first row the heads. */
export function csvTable(
  heads: readonly string[],
  rows: readonly (readonly (string | number | boolean | null)[])[],
): string {
  return [heads, ...rows].map((row) => `${row.map(csvCell).join(',')}\n`).join('');
}

/** A file name made of letters, digits, dots and hyphens, for a path in the packet; at most 60 characters. */
export function fileStem(name: string): string {
  const plain = name
    .normalize('NFKD')
    .replace(/[^\w.-]+/g, '-')
    .replace(/^[.-]+|[.-]+$/g, '')
    .slice(0, 60)
    .replace(/[.-]+$/, '');
  return plain === '' ? 'unnamed' : plain;
}
