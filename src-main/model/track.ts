export type TrackStatus = 'cleared' | 'weaker' | 'persists' | 'stronger' | 'new' | 'back' | 'hidden' | 'uncovered';
export type Exercised = 'shown' | 'stated' | 'unknown';

/** One spur followed from a before side to an after side. Levels in decibels of the common unit. */
export interface Track {
  readonly status: TrackStatus;
  /** Index into the before / after side's spur list; null where there is none. */
  readonly beforeSpur: number | null;
  readonly afterSpur: number | null;
  /** After minus before, where both were seen. */
  readonly changeDb: number | null;
  readonly changeSigmaDb: number | null;
  /** Not seen after: the proven drop. */
  readonly atLeastDb: number | null;
  readonly shiftHz: number | null;
  /** Not seen after: 95 % upper limit on the line's level in the after capture. */
  readonly upperLimitDb: number | null;
  readonly exercised: Exercised;
  readonly source: string | null;
  readonly harmonic: number | null;
  /** One sentence a reviewer can read. */
  readonly why: string;
}

export interface SourceChange {
  readonly source: string;
  readonly beforeHz: number | null;
  readonly afterHz: number | null;
  readonly tracks: Readonly<Partial<Record<TrackStatus, number>>>;
}

export interface Comparison {
  readonly tracks: readonly Track[];
  readonly sources: readonly SourceChange[];
  readonly warnings: readonly string[];
}
