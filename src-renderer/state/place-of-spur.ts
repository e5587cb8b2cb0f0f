import type { SpurRow } from './spur-rows.ts';

/** Index of the spur that stands where one stood; null where none does any more. */
export function indexNear(rows: readonly SpurRow[], frequencyHz: number): number | null {
  const row = rows.find(({ spur }) => Math.abs(spur.frequencyHz - frequencyHz) <= spur.widthHz / 2);
  return row?.index ?? null;
}
