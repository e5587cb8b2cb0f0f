/** Where the combs of one row lie, so that a comb can be followed from row to row. */
export interface RowComb {
  /** Designator; null for a comb that the register does not know. */
  readonly source: string | null;
  readonly fundamentalHz: number;
  readonly fundamentalSigmaHz: number;
}

export interface WaterfallRow {
  readonly captureId: number;
  /** Combs of its last triage that is still fresh; null where it has none. */
  readonly combs: readonly RowComb[] | null;
}

/** Captures as rows over one frequency axis. */
export interface WaterfallView {
  readonly rows: readonly WaterfallRow[];
  readonly columns: number;
  /** Row after row: the largest level in decibels of the row's unit within each of the equal columns; NaN where the row has none. */
  readonly levelDb: Float32Array;
}

export interface WaterfallCalls {
  /** The captures in the order given, each in `columns` equal columns between the two frequencies. */
  waterfall(argument: {
    captureIds: readonly number[];
    lowHz: number;
    highHz: number;
    columns: number;
  }): Promise<WaterfallView>;
}
