import type { Waterfall } from '../../model/waterfall.ts';
import { toDecibels } from '../../units/levels.ts';

export interface ThinRows {
  readonly rows: number;
  readonly columns: number;
  readonly lowHz: number;
  readonly highHz: number;
  /** Row after row, the largest level in decibels of each cell; NaN where a cell has none. */
  readonly levelDb: Float32Array;
}

/**
 * A waterfall in at most so many rows and columns of equal width, as a screen shows it. Every cell keeps its largest level, so that
 * neither a line nor a burst is lost. A cell without a point of its own (fewer points than columns) takes that of the point before it.
 */
export function thinRows(
  { frequencyHz, rows, level, unit }: Waterfall,
  most: { rows: number; columns: number },
): ThinRows {
  const n = frequencyHz.length;
  const shownRows = Math.min(rows, most.rows);
  const columns = Math.min(n, most.columns);
  const lowHz = frequencyHz[0]!;
  const highHz = frequencyHz[n - 1]!;
  // half a column on either side, so that the first and the last point stand in the middle of theirs
  const columnHz = (highHz - lowHz) / Math.max(1, columns - 1);
  const columnOf = Int32Array.from(frequencyHz, (f) => Math.min(columns - 1, Math.round((f - lowHz) / columnHz)));
  const levelDb = new Float32Array(shownRows * columns).fill(NaN);
  for (let r = 0; r < rows; r++) {
    const at = Math.floor((r * shownRows) / rows) * columns;
    for (let i = 0; i < n; i++) {
      const value = level[r * n + i]!;
      if (Number.isNaN(value)) continue;
      const db = toDecibels(value, unit);
      const cell = at + columnOf[i]!;
      if (!(levelDb[cell]! >= db)) levelDb[cell] = db;
    }
  }
  const filled = new Uint8Array(columns);
  for (const c of columnOf) filled[c] = 1;
  for (let r = 0; r < shownRows; r++)
    for (let c = 1; c < columns; c++) if (filled[c] === 0) levelDb[r * columns + c] = levelDb[r * columns + c - 1]!;
  return { rows: shownRows, columns, lowHz: lowHz - columnHz / 2, highHz: highHz + columnHz / 2, levelDb };
}
