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
  const strongest = new Map<number, SpurRow>();
  const kept: SpurRow[] = [];
  let top: SpurRow | null = null;
  for (const row of rows) {
    const px = x(row.spur.frequencyHz);
    if (!(px >= -MARGIN && px <= width + MARGIN)) continue;
    if (row.index === chosen) top = row;
    else if (isKept(row)) kept.push(row);
    else {
      const stretch = Math.floor(px / stepPx);
      const held = strongest.get(stretch);
      if (held === undefined || row.spur.levelDb > held.spur.levelDb) strongest.set(stretch, row);
    }
  }
  return [...strongest.values(), ...kept, ...(top === null ? [] : [top])];
}
