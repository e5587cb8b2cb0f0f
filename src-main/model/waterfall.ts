import type { LevelUnit } from './level-unit.ts';

/**
 * Spectra one after another on one frequency axis.
 *
 * Invariants: `level` has `rows × frequencyHz.length` values, row after row, in `unit`, NaN where there is none; `frequencyHz` is
 * finite and strictly ascending; `rowTimes` has one entry a row.
 */
export interface Waterfall {
  readonly label: string;
  readonly frequencyHz: Float64Array;
  readonly rows: number;
  readonly level: Float32Array | Float64Array;
  readonly unit: LevelUnit;
  /** Seconds from the first row; null where the file gives no times. */
  readonly rowStartS: Float64Array | null;
  /** When the first row was taken, as written; null where the file does not say. */
  readonly takenAt: string | null;
}
