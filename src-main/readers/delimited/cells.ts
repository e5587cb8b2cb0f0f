import { BLANK, type Dialect } from './rows.ts';

/** A line of text above, between or behind the tables; `line` counts from 1, as users count. */
export interface Line {
  readonly text: string;
  readonly line: number;
}

/** A line longer than this is no statement; what is beyond is not read. */
export const LONGEST_LINE = 4000;

/** One spelling for what has several: both micro signs, thin and hard blanks, typographic minus; runs of blanks become one. */
export function plainText(text: string): string {
  return spelledPlainly(text).trim();
}

/** As plainText, with the blanks and tabs at both ends. */
export function spelledPlainly(text: string): string {
  return text
    .replaceAll('\u03bc', 'µ')
    .replace(/[\u00a0\u2007\u2009\u202f]/g, ' ')
    .replaceAll('\u2212', '-');
}

/** Marks that open a comment, and braces of a preamble written as an object. */
export function withoutCommentMark(text: string, delimiter = -1): string {
  // an empty first cell is no comment mark
  const first = delimiter > 0 && text.startsWith(String.fromCharCode(delimiter));
  return (first ? text : text.replace(/^(?:\/\/|\/\*|--(?!\d)|REM\b|[#!%;*'{}\s])+/i, '')).replace(/[{}\s]+$/, '');
}

/**
 * Length-prefixed block: `#`, one digit n, n digits that count the bytes. Some instruments send a file so, and the first line is
 * glued to it (IEEE 488.2, definite length arbitrary block response data).
 */
export function withoutBlockHeader(text: string): { text: string; bytes: number | null } {
  const head = /^#([1-9])(\d+)/.exec(text);
  if (head === null) return { text, bytes: null };
  const size = Number(head[1]);
  if (head[2]!.length < size) return { text, bytes: null };
  return { text: text.slice(2 + size), bytes: Number(head[2]!.slice(0, size)) };
}

/** Splits at `delimiter` outside quotes; cells are trimmed and unquoted. */
export function splitAt(text: string, delimiter: string): string[] {
  const cells: string[] = [];
  let quoted = false;
  let from = 0;
  for (let i = 0; i <= text.length; i++) {
    if (i < text.length && text[i] === '"') quoted = !quoted;
    if (i < text.length && (quoted || text[i] !== delimiter)) continue;
    cells.push(unquoted(text.slice(from, i)));
    from = i + 1;
  }
  // an odd number of quotes closes nothing: the text is taken as it stands
  return quoted ? text.split(delimiter).map(unquoted) : cells;
}

function unquoted(cell: string): string {
  const bare = cell.trim();
  return bare.length >= 2 && bare.startsWith('"') && bare.endsWith('"') ? bare.slice(1, -1).trim() : bare;
}

export function withoutEmptyTail(cells: readonly string[]): string[] {
  let n = cells.length;
  while (n > 0 && cells[n - 1] === '') n--;
  return cells.slice(0, n);
}

/** The cells of a line as the table's dialect parts them; with blanks as delimiter, two blanks or a tab part first. */
export function splitCells(text: string, dialect: Dialect): string[] {
  if (dialect.delimiter !== BLANK) return splitAt(text, String.fromCharCode(dialect.delimiter));
  return text.trim().split(/\s+/).map(unquoted);
}

/** A plain number, nothing behind it. */
export function isNumber(text: string): boolean {
  return /^[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eEdD][+-]?\d+)?$/.test(text);
}

/** A number with an optional unit behind it: `3 kHz`, `1,5E+6`, `-20dBm`. `unit` is '' where there is none; null for other text. */
export function numberWithUnit(text: string): { value: number; unit: string } | null {
  const match =
    /^([+-]?(?:\d{1,3}(?:[ ']\d{3})+|\d{1,3}(?:\.\d{3}){2,}|\d{1,3}(?:,\d{3}){2,}|\d+)?(?:[.,]\d*)?(?:[eEdD][+-]?\d+)?) ?([a-zA-Zµ%°"(/].*)?$/.exec(
      text.trim(),
    );
  if (match === null || !/\d/.test(match[1]!)) return null;
  let digits = match[1]!.replace(/[ ']/g, '');
  // a separator that comes twice parts thousands
  if (/\.\d{3}\./.test(digits)) digits = digits.replaceAll('.', '');
  else if (/,\d{3},/.test(digits)) digits = digits.replaceAll(',', '');
  const value = Number(digits.replace(',', '.').replace(/[dD]/, 'e'));
  if (!Number.isFinite(value)) return null;
  return { value, unit: match[2]?.trim() ?? '' };
}
