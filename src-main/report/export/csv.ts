/** A cell of a table that is written for other programs. */
export type Cell = string | number | boolean | null;

/**
 * Lines of comma-separated cells. Numbers are written with the fewest digits that read back as the same number, no value as an empty
 * cell; text that a spreadsheet would take for a formula gets an apostrophe before it; text with a comma, quote or line end is quoted.
 */
export function csv(columns: readonly string[], rows: readonly (readonly Cell[])[]): string {
  return `${[columns, ...rows].map((row) => row.map(cellText).join(',')).join('\n')}\n`;
}

function cellText(cell: Cell): string {
  if (cell === null) return '';
  if (typeof cell === 'number') return Number.isFinite(cell) ? String(cell) : '';
  if (typeof cell === 'boolean') return cell ? 'yes' : 'no';
  const guarded = /^[=+\-@\t\r']/.test(cell) ? `'${cell}` : cell;
  return /[",\n\r]/.test(guarded) ? `"${guarded.replaceAll('"', '""')}"` : guarded;
}
