import type { ColumnHeader } from './columns.ts';
import type { NumberTable } from './find-tables.ts';
import type { Dialect } from './rows.ts';
import type { TextBytes } from './text.ts';

const DELIMITERS: Readonly<Record<number, string>> = {
  44: 'comma',
  59: 'semicolon',
  9: 'tab',
  32: 'blank',
  124: 'bar',
};

/** One line saying what layout was recognised, for the user to check. */
export function describeLayout(
  dialect: Dialect,
  text: TextBytes,
  tables: readonly NumberTable[],
  header: readonly ColumnHeader[],
  companionFile: string | null,
  rewritten: string | null,
): string {
  const first = tables[0]!;
  const columns = first.columns.length;
  const parts = [
    `${text.encoding} text, ${columns === 1 ? 'one column' : `${columns} columns separated by ${DELIMITERS[dialect.delimiter]!}`}`,
    dialect.decimalComma ? 'decimal comma' : 'decimal point',
    tables.length > 1 ? `${tables.length} blocks of rows` : `rows from line ${first.firstLine + 1}`,
    header.some((column) => column.name !== '')
      ? `columns named ${header
          .slice(0, 12)
          .map((column) => column.name || '–')
          .join(', ')}`
      : 'no column names',
  ];
  if (rewritten !== null) parts.push(rewritten);
  if (companionFile !== null) parts.push(`frequencies from ${companionFile}`);
  return parts.join('; ');
}
