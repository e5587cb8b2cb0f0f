/** Index of the first value ≥ `x` in an ascending column; its length where there is none. */
export function lowerBound(column: ArrayLike<number>, x: number): number {
  let low = 0;
  let high = column.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (column[middle]! < x) low = middle + 1;
    else high = middle;
  }
  return low;
}
