import type { CaptureSettings } from './capture.ts';
import type { InstrumentLine } from './instrument-line.ts';
import type { LevelUnit } from './level-unit.ts';

/**
 * One spectrum: a level at each frequency.
 *
 * Invariants: both arrays have the same length ≥ 2; `frequencyHz` is finite and strictly ascending;
 * `level` is in `unit` and NaN exactly where the file had no value (a blank sentinel, an empty cell, a not-a-number).
 */
export interface Trace {
  /** The column's or block's name as the file gives it, '' where it gives none. */
  readonly label: string;
  readonly frequencyHz: Float64Array;
  readonly level: Float64Array;
  readonly unit: LevelUnit;
  readonly settings: CaptureSettings;
  /** Where the receiver or recorder shows itself; left out: nothing is known of it. */
  readonly instrument?: readonly InstrumentLine[];
  /** `offset`: frequencies count from a centre that nobody stated, so no multiple of a source can be told. Left out: absolute. */
  readonly axis?: 'offset';
}
