import type { TraceColumns } from '../../src-main/api/contract.ts';

/** The column under a frequency: the last that begins at or below it; null where there is none. */
export function columnAt({ frequencyHz }: TraceColumns, hz: number): number | null {
  if (frequencyHz.length === 0) return null;
  let low = 0;
  let high = frequencyHz.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (frequencyHz[middle]! <= hz) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** The same columns, so many decibels higher. */
export function raised(columns: TraceColumns, db: number): TraceColumns {
  if (db === 0) return columns;
  const higher = (levels: Float64Array): Float64Array => levels.map((level) => level + db);
  return {
    ...columns,
    minimumDb: higher(columns.minimumDb),
    maximumDb: higher(columns.maximumDb),
    floorDb: higher(columns.floorDb),
    thresholdDb: higher(columns.thresholdDb),
  };
}
