import { terminalText } from './terminal-text.ts';

export interface Column<Row> {
  /** Head of the column with the unit: `level [dBm]`. */
  readonly head: string;
  readonly align: 'left' | 'right';
  readonly cell: (row: Row) => string;
}

/** Rows as aligned text, two blanks between columns, no blanks at line ends. Every cell is made safe for a terminal. */
export function table<Row>(columns: readonly Column<Row>[], rows: readonly Row[]): string {
  const lines = [
    columns.map(({ head }) => terminalText(head)),
    ...rows.map((row) => columns.map(({ cell }) => terminalText(cell(row)))),
  ];
  const widths = columns.map((_, column) =>
    lines.reduce((widest, line) => Math.max(widest, lengthOf(line[column]!)), 0),
  );
  const aligned = lines.map((line) =>
    line
      .map((text, column) => {
        const blanks = ' '.repeat(widths[column]! - lengthOf(text));
        return columns[column]!.align === 'right' ? blanks + text : text + blanks;
      })
      .join('  ')
      .trimEnd(),
  );
  return aligned.join('\n') + '\n';
}

/** Characters as a reader counts them, so that a combining accent takes no column of its own. */
function lengthOf(text: string): number {
  return [...text.normalize('NFC')].length;
}
