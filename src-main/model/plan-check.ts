/** One source of an adopted plan against captures of the state that was built to it. */
export interface PlanSourceCheck {
  readonly source: string;
  readonly predictedHz: number;
  /** Half the range the plan allowed for. */
  readonly predictedHalfWidthHz: number;
  /** Null: no comb of it was found. */
  readonly measuredHz: number | null;
  readonly measuredSigmaHz: number | null;
  readonly file: string | null;
  /** `not seen` says nothing: the source may be off, or under the floor. */
  readonly outcome: 'as planned' | 'elsewhere' | 'not seen';
}

/** Channels of one band: lost as predicted and as measured. */
export interface PlanChannelCheck {
  readonly band: string;
  readonly both: number;
  /** Predicted and nothing seen: the worst case did not come, or it lies under the floor. */
  readonly onlyPredicted: number;
  readonly onlyMeasured: number;
  readonly neither: number;
  /** In no capture's span. */
  readonly uncovered: number;
}

export interface PlanCheck {
  readonly captures: readonly string[];
  readonly sources: readonly PlanSourceCheck[];
  readonly channels: readonly PlanChannelCheck[];
  /** Lines in channels that the plan had left free. */
  readonly unforeseen: readonly { readonly frequencyHz: number; readonly file: string; readonly cause: string }[];
}
