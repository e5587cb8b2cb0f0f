import type { FoundTables } from './find-tables.ts';
import { withoutBlockHeader, type Line } from './cells.ts';

/** Rows looked back at to know how long a row is. */
const ROWS_BACK = 20;

/**
 * A last row without a line end whose text is shorter than each of the rows before it may have lost digits: −80.25 cut to −8 would be
 * a spur. It is left out, and said.
 */
export function withoutCutOffRow(bytes: Uint8Array, found: FoundTables): { found: FoundTables; warnings: string[] } {
  const { lastLine, tables } = found;
  const table = tables[tables.length - 1];
  if (lastLine.closed || table === undefined || table.lastLine !== lastLine.line || table.rows < ROWS_BACK)
    return { found, warnings: [] };
  let end = lastLine.start - 1;
  let shortest = Infinity;
  for (let l = 0; l < ROWS_BACK && end > 0; l++) {
    const start = Math.max(bytes.lastIndexOf(10, end - 1), bytes.lastIndexOf(13, end - 1)) + 1;
    const length = end - start - (bytes[end - 1] === 13 ? 1 : 0);
    if (length > 1) shortest = Math.min(shortest, length);
    end = start - 1;
  }
  if (lastLine.end - lastLine.start >= shortest - 1) return { found, warnings: [] };
  const rows = table.rows - 1;
  const columns = table.columns.map((column) => column.subarray(0, rows));
  const kept = { ...table, columns, rows, lastLine: table.lastLine - 1 };
  return {
    found: { ...found, tables: [...tables.slice(0, -1), kept] },
    warnings: [
      `Line ${lastLine.line + 1} is shorter than those above and has no line end: the file looks cut off there, and that line is left out.`,
    ],
  };
}

/** A block header counts the bytes behind it: fewer means a file cut off. `first` is the file's first line. */
export function checkBlockHeader(first: Line | undefined, fileLength: number): string[] {
  if (first === undefined || first.line !== 1) return [];
  const { bytes, text } = withoutBlockHeader(first.text);
  if (bytes === null) return [];
  const there = fileLength - (first.text.length - text.length);
  return there < bytes ? [`The file begins by promising ${bytes} bytes and has ${there}: it is cut off.`] : [];
}
