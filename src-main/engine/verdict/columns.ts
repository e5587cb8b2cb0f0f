import { lowerBound } from '../numeric/lower-bound.ts';

/** Index of the value nearest to `target` in an ascending column; of two equally near the lower. The column must not be empty. */
export function nearestIndex(column: ArrayLike<number>, target: number): number {
  const above = lowerBound(column, target);
  if (above === 0) return 0;
  if (above === column.length) return above - 1;
  return target - column[above - 1]! <= column[above]! - target ? above - 1 : above;
}
