import type { SpurRow } from '../state/spur-rows.ts';

/**
 * The rows whose marks are painted: one per stretch of `stepPx`, the strongest, since marks closer than that lie upon each other and
 * only the topmost would be seen. The chosen and the lit ones are always among them; the chosen comes last, on top.
 *
 * @param x from frequency to pixels; rows outside −margin … width + margin are left out
 */
export function marksShown(
  rows: readonly SpurRow[],
  x: (frequencyHz: number) => number,
  width: number,
  stepPx: number,
  isKept: (row: SpurRow) => boolean,
  chosen: number | null,
): readonly SpurRow[] {
  const MARGIN = 12;
  const strongest = new Array<SpurRow | undefined>(Math.ceil((width + 2 * MARGIN) / stepPx) + 1);
  const kept: SpurRow[] = [];
  let top: SpurRow | null = null;
  for (const row of rows) {
    const px = x(row.spur.frequencyHz);
    if (!(px >= -MARGIN && px <= width + MARGIN)) continue;
    if (row.index === chosen) top = row;
    else if (isKept(row)) kept.push(row);
    else {
      const stretch = Math.floor((px + MARGIN) / stepPx);
      const held = strongest[stretch];
      if (held === undefined || row.spur.levelDb > held.spur.levelDb) strongest[stretch] = row;
    }
  }
  const out = strongest.filter((row) => row !== undefined);
  out.push(...kept);
  if (top !== null) out.push(top);
  return out;
}

/** The part of rows ascending in frequency that lies between two frequencies. */
export function rowsBetween(rows: readonly SpurRow[], lowHz: number, highHz: number): readonly SpurRow[] {
  return rows.slice(firstFrom(rows, lowHz), firstFrom(rows, highHz));
}

function firstFrom(rows: readonly SpurRow[], frequencyHz: number): number {
  let low = 0;
  let high = rows.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (rows[middle]!.spur.frequencyHz < frequencyHz) low = middle + 1;
    else high = middle;
  }
  return low;
}
