import type { LineExplanation } from './attribution.ts';
import type { Spur } from './spur.ts';

export type TrackStatus = 'cleared' | 'weaker' | 'persists' | 'stronger' | 'new' | 'back' | 'hidden' | 'uncovered';
export type Exercised = 'shown' | 'stated' | 'unknown';

/** One spur followed from a before side to an after side. Levels in decibels of the common unit. */
export interface Track {
  readonly status: TrackStatus;
  /** Index into the comparison's `beforeSpurs` / `afterSpurs`; null where there is none. */
  readonly beforeSpur: number | null;
  readonly afterSpur: number | null;
  /** After minus before, where both were seen and levels can be compared. */
  readonly changeDb: number | null;
  /** One standard deviation of `changeDb`: noise of both sides and the repeatability of the set-up. */
  readonly changeSigmaDb: number | null;
  /** Not seen after: the proven drop, negative where none is. Not seen before: null. */
  readonly atLeastDb: number | null;
  readonly shiftHz: number | null;
  /** Not seen after: 95 % upper limit on the line's level in the after capture. */
  readonly upperLimitDb: number | null;
  /** Evidence that the line's source ran in the after capture (for a line seen only after: in the before capture). */
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

/** A line that was cleared by an earlier fix; seen again it is `back`. */
export interface ClearedEarlier {
  readonly source: string | null;
  readonly harmonic: number | null;
  readonly frequencyHz: number;
}

/**
 * A line of one side, all files of the side taken together.
 *
 * Levels are in the comparison's common unit and, with several files, the mean power over them. The indices of points
 * (`peakIndex` …) mean the trace of the side's file number `fileIndex`, the first in which the line was seen.
 */
export interface SideSpur extends Spur {
  readonly fileIndex: number;
  /** In how many files of the side it was seen. */
  readonly seenIn: number;
}

export interface Comparison {
  /** Ascending in frequency (of the before spur where there is one). */
  readonly tracks: readonly Track[];
  readonly sources: readonly SourceChange[];
  readonly warnings: readonly string[];
  /** The decibel unit that all levels are in; `unknown` where levels could not be compared. */
  readonly unit: string;
  /** False where no unit, or units that cannot be converted, forbid comparing levels. */
  readonly levelsComparable: boolean;
  /** One standard deviation of the repeatability of one set-up that was used, and where it is from. */
  readonly repeatabilityDb: number;
  readonly repeatabilityFrom: string;
  /** The lists that the tracks' indices mean, ascending in frequency, with what is said of each line. */
  readonly beforeSpurs: readonly SideSpur[];
  readonly afterSpurs: readonly SideSpur[];
  readonly beforeExplanations: readonly LineExplanation[];
  readonly afterExplanations: readonly LineExplanation[];
}
