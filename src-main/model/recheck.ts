import type { TrackStatus } from './track.ts';

/** One frozen capture that is to be repeated. */
export interface RecheckItem {
  /** The capture of the frozen baseline. */
  readonly baselineCaptureId: number;
  /** The captures that repeat it; empty while it waits. */
  readonly repeatedBy: readonly number[];
  /** Why it was taken off the list; null while it is wanted. */
  readonly droppedBecause: string | null;
}

/** After an environment event: which captures of the frozen baseline are to be repeated, and which were. */
export interface Recheck {
  readonly id: number;
  readonly freezeId: number;
  readonly eventId: number;
  /** The state that the repeats are taken in; null until it is named. */
  readonly stateId: number | null;
  readonly by: string;
  /** ISO 8601 date-time, UTC. */
  readonly at: string;
  readonly items: readonly RecheckItem[];
}

/** What became of a line since the baseline. `untested`: the repeat cannot tell, or there is none. */
export type RecheckFinding = 'held' | 'drift' | 'weaker' | 'stronger' | 'new' | 'untested';

export interface RecheckLine {
  readonly finding: RecheckFinding;
  readonly baselineCaptureId: number;
  readonly frequencyHz: number;
  readonly source: string | null;
  readonly harmonic: number | null;
  /** Status of the comparison that the finding rests on; null where nothing was compared. */
  readonly status: TrackStatus | null;
  readonly changeDb: number | null;
  readonly changeSigmaDb: number | null;
  readonly shiftHz: number | null;
  readonly shiftSigmaHz: number | null;
  readonly why: string;
}

/** A setting of the repeat that is not the frozen one. */
export interface SettingDifference {
  readonly setting: string;
  readonly frozen: string;
  readonly found: string;
}

/** A board or part whose serial, revision or detail is not that of the baseline. */
export interface SwappedItem {
  readonly item: string;
  readonly frozen: string;
  readonly found: string;
}

/** The re-check's own verdict: `not shown` is never a pass. */
export type RecheckVerdict = 'holds' | 'falls short' | 'not shown';

export interface RecheckJudgement {
  readonly verdict: RecheckVerdict;
  /** One sentence each, the gravest first. */
  readonly reasons: readonly string[];
  readonly lines: readonly RecheckLine[];
  readonly swapped: readonly SwappedItem[];
  /** Numbers of baseline captures still to be repeated. */
  readonly waiting: readonly number[];
  readonly counts: Readonly<Record<RecheckFinding, number>>;
}
