/** A stretch of a record in which its envelope stands above a threshold, in seconds from the record's start. */
export interface Burst {
  readonly startS: number;
  readonly endS: number;
  /** Mean power in it over the threshold's base, in dB. */
  readonly overBaseDb: number;
}

/** How a record's power changes with time. */
export interface TimeStructure {
  /** Power of each step, in decibels of the record's unit; the step's middle is at (i + ½)·stepS from `startS`. */
  readonly powerDb: Float64Array;
  readonly startS: number;
  readonly stepS: number;
  /** Median of the quiet steps, and the height over it that counts as on. */
  readonly baseDb: number;
  readonly thresholdDb: number;
  readonly bursts: readonly Burst[];
  /** null where bursts do not repeat evenly, or fewer than four were seen. */
  readonly repetition: Repetition | null;
  /** One sentence a reviewer can read. */
  readonly why: string;
}

/** Bursts or steps that come evenly. */
export interface Repetition {
  readonly rateHz: number;
  /** One standard deviation of the rate. */
  readonly rateSigmaHz: number;
  /** Scatter of single bursts about the even times, in seconds. */
  readonly jitterS: number;
  /** Places of the even raster that were passed over: light-load skipping. */
  readonly skipped: number;
  readonly seen: number;
}
