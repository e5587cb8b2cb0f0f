import type { LineSet } from './line-set.ts';
import { lowerBound } from '../numeric/lower-bound.ts';

/** A line set with its lines in order of frequency. */
export interface OrderedLines {
  readonly lines: LineSet;
  /** Line numbers, ascending in frequency, and their frequencies. */
  readonly order: Int32Array;
  readonly sortedHz: Float64Array;
  /** Largest half width, doubt included, of any line of the set. */
  readonly widestHz: number;
}

const known = new WeakMap<LineSet, OrderedLines>();

/** The set in order of frequency; worked out once, as sets do not change. */
export function ordered(lines: LineSet): OrderedLines {
  let found = known.get(lines);
  if (found === undefined) known.set(lines, (found = inOrder(lines)));
  return found;
}

function inOrder(lines: LineSet): OrderedLines {
  const order = Int32Array.from({ length: lines.count }, (_, i) => i).sort(
    (a, b) => lines.frequencyHz[a]! - lines.frequencyHz[b]! || a - b,
  );
  let widestHz = 0;
  for (let i = 0; i < lines.count; i++) widestHz = Math.max(widestHz, lines.sigmaHz[i]! + 0.5 * lines.resolutionHz[i]!);
  return { lines, order, sortedHz: Float64Array.from(order, (i) => lines.frequencyHz[i]!), widestHz };
}

/** A tenth of the resolution on top of the stated uncertainties: two captures never put a line on quite the same place. */
export const RESOLUTION_SHARE = 0.1;

/** One standard deviation of the distance between a line and its image on the other side. */
export function pairSigmaHz(
  a: LineSet,
  i: number,
  b: LineSet,
  j: number,
  targetHz: number,
  relativeSigma: number,
): number {
  // Not Math.hypot: this is the innermost loop, and hypot's care for overflow costs five times the rest.
  const own = a.sigmaHz[i]!;
  const other = b.sigmaHz[j]!;
  const shared = RESOLUTION_SHARE * Math.max(a.resolutionHz[i]!, b.resolutionHz[j]!);
  const moved = relativeSigma * targetHz;
  return Math.sqrt(own * own + other * other + shared * shared + moved * moved);
}

/** Position of the value nearest to `target`; −1 for an empty column. */
export function nearestOrdered(sorted: Float64Array, target: number): number {
  if (sorted.length === 0) return -1;
  const above = lowerBound(sorted, target);
  if (above === 0) return 0;
  if (above === sorted.length) return above - 1;
  return target - sorted[above - 1]! <= sorted[above]! - target ? above - 1 : above;
}
