import type { SegmentRow } from './parse-row.ts';

/** How the levels of a segment stand between its low and its high frequency. */
export interface SegmentAxis {
  /** Levels of a row that count. */
  readonly points: number;
  readonly stepHz: number;
  /** `bins`: the last level is one step below the high edge; `points`: it is at the high edge; `stated step`: neither fits. */
  readonly kind: 'bins' | 'points' | 'stated step';
}

/** A share of a step by which low + n·step may miss the high edge: steps are written with two decimals. */
const FITS = 0.3;

/**
 * Where the levels of a row stand: at low + i·step. The step is computed from the edges where the number of levels fits them (as n bins
 * or as n points with both edges), since a written step is rounded; a segment of 8192 levels would be off by many of them otherwise.
 *
 * @param repeatsLast true where each row's last level repeats the one before it, beyond the high edge: it does not count
 */
export function segmentAxis({ lowHz, highHz, stepHz, level }: SegmentRow, repeatsLast: boolean): SegmentAxis {
  const points = repeatsLast ? level.length - 1 : level.length;
  const steps = (highHz - lowHz) / stepHz;
  // the rounding of the step adds up over the segment
  const fits = (n: number): boolean => Math.abs(steps - n) <= Math.max(FITS, 1e-4 * n);
  if (fits(points)) return { points, stepHz: (highHz - lowHz) / points, kind: 'bins' };
  if (points > 1 && fits(points - 1)) return { points, stepHz: (highHz - lowHz) / (points - 1), kind: 'points' };
  return { points, stepHz, kind: 'stated step' };
}

/**
 * True where rows end with one level too many for their edges, and it is a copy of the one before in nearly every row: two neighbouring
 * levels of noise are not equal so often.
 */
export function lastIsRepeated(rows: readonly SegmentRow[]): boolean {
  const looked = rows.slice(0, 1000).filter(({ level }) => level.length > 2);
  const extra = looked.filter(
    ({ lowHz, highHz, stepHz, level }) => Math.abs((highHz - lowHz) / stepHz - (level.length - 1)) <= FITS,
  );
  const equal = extra.filter(({ level }) => level.at(-1) === level.at(-2));
  return extra.length > 0 && extra.length === looked.length && equal.length >= 0.9 * extra.length;
}
