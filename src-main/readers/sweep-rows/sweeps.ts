import type { SegmentRow } from './parse-row.ts';

/** The rows of each sweep, in the order they stand in. A new sweep begins where a segment comes a second time. */
export function groupSweeps(rows: readonly SegmentRow[]): SegmentRow[][] {
  const sweeps: SegmentRow[][] = [];
  let seen = new Set<number>();
  for (const row of rows) {
    if (sweeps.length === 0 || seen.has(row.lowHz)) {
      sweeps.push([]);
      seen = new Set();
    }
    seen.add(row.lowHz);
    sweeps[sweeps.length - 1]!.push(row);
  }
  return sweeps;
}

/** Where one segment's levels go on the common axis. */
export interface Placed {
  readonly lowHz: number;
  readonly points: number;
  /** For each level of the segment its place on the axis, −1 where another segment covers that frequency better. */
  readonly to: Int32Array;
}

/** A frequency nearer to another than this share of a step is the same. */
const SAME = 0.25;

/**
 * The axis that all segments share, and the place of each segment's levels on it. Where two segments cover one frequency, the level
 * farther from its own segment's edges is taken, since filters roll off there; of two as far, the lower segment's.
 */
export function commonAxis(
  segments: readonly { readonly lowHz: number; readonly stepHz: number; readonly points: number }[],
): { frequencyHz: Float64Array; placed: Placed[]; overlapping: number } {
  const total = segments.reduce((n, { points }) => n + points, 0);
  const frequency = new Float64Array(total);
  const owner = new Int32Array(total);
  const index = new Int32Array(total);
  let k = 0;
  for (const [s, { lowHz, stepHz, points }] of segments.entries())
    for (let i = 0; i < points; i++, k++) {
      frequency[k] = Number((lowHz + i * stepHz).toPrecision(14));
      owner[k] = s;
      index[k] = i;
    }
  const order = Int32Array.from({ length: total }, (_, i) => i).sort((a, b) => frequency[a]! - frequency[b]! || a - b);
  const placed = segments.map(({ lowHz, points }) => ({ lowHz, points, to: new Int32Array(points).fill(-1) }));
  const depth = (p: number): number => Math.min(index[p]!, segments[owner[p]!]!.points - 1 - index[p]!);
  const kept: number[] = [];
  // in the interior of an overlap, the deeper segment wins over every neighbour nearer than a fraction of a step
  for (const p of order) {
    const before = kept.at(-1);
    const step = Math.min(
      segments[owner[p]!]!.stepHz,
      before === undefined ? Infinity : segments[owner[before]!]!.stepHz,
    );
    if (before === undefined || frequency[p]! - frequency[before]! > SAME * step) kept.push(p);
    else if (depth(p) > depth(before)) kept[kept.length - 1] = p;
  }
  kept.forEach((p, at) => (placed[owner[p]!]!.to[index[p]!] = at));
  return { frequencyHz: Float64Array.from(kept, (p) => frequency[p]!), placed, overlapping: total - kept.length };
}
