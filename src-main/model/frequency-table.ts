/**
 * A gain, loss or factor against frequency, such as a two-port measurement gives.
 *
 * Invariants: arrays of one length ≥ 1; `frequencyHz` finite, ≥ 0 and strictly ascending; `valueDb` finite.
 * `valueDb` is a gain (positive: the output is stronger) for `kind` gain, a loss (positive: weaker) for `kind` loss.
 */
export interface FrequencyTable {
  readonly name: string;
  readonly kind: 'gain' | 'loss' | 'reflection' | 'factor';
  readonly frequencyHz: Float64Array;
  readonly valueDb: Float64Array;
  /** Standard uncertainty of each value; null where the file states none. */
  readonly uncertaintyDb: Float64Array | null;
  /** Reference resistance in ohm where the file states one. */
  readonly referenceOhm: number | null;
  readonly takenAt: string | null;
  readonly note: string;
}
