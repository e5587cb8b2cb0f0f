import type { SpurRow } from '../state/spur-rows.ts';

export interface RailSlot {
  readonly centre: number;
  readonly width: number;
  readonly row: SpurRow;
  /** How many further spurs the slot leaves unsaid. */
  readonly more: number;
}

const PUZZLES: ReadonlySet<string> = new Set(['unknown-comb', 'unexplained', 'ambiguous']);

/** Who gets a slot's words: the chosen spur, else the one furthest over what is allowed, else the least explained, else the highest. */
function claim(row: SpurRow, chosen: number | null): number {
  const over = row.marginDb !== null && row.marginDb < 0 ? 50 - row.marginDb : 0;
  const puzzle = PUZZLES.has(row.cause) ? 6 : 0;
  return (row.index === chosen ? 1000 : 0) + over + puzzle + row.spur.overFloorDb * 0.3;
}

/** Slots of at least `leastWidth` pixels over the plot, each with the one spur that is named in it. */
export function railSlots(
  rows: readonly SpurRow[],
  x: (frequencyHz: number) => number,
  width: number,
  leastWidth: number,
  chosen: number | null,
): readonly RailSlot[] {
  const n = Math.max(1, Math.floor(width / leastWidth));
  const slotWidth = width / n;
  const best = new Array<SpurRow | undefined>(n);
  const claims = new Float64Array(n).fill(-Infinity);
  const counts = new Array<number>(n).fill(0);
  for (const row of rows) {
    const px = x(row.spur.frequencyHz);
    const slot = Math.min(n - 1, Math.floor(px / slotWidth));
    if (px < 0 || px > width || slot < 0) continue;
    counts[slot]!++;
    const its = claim(row, chosen);
    if (its > claims[slot]!) [best[slot], claims[slot]] = [row, its];
  }
  return best.flatMap((row, i) =>
    row === undefined ? [] : [{ centre: (i + 0.5) * slotWidth, width: slotWidth, row, more: counts[i]! - 1 }],
  );
}
