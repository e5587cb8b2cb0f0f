import type { TemperatureRange } from './requirement.ts';

/** What somebody accepts. */
export type DispositionSubject =
  /** One line of the build, as it stood when it was accepted. Level in decibels of `unit`. */
  | {
      readonly kind: 'line';
      readonly source: string | null;
      readonly harmonic: number | null;
      readonly frequencyHz: number;
      readonly levelDb: number;
      readonly levelSigmaDb: number;
      readonly unit: string;
    }
  /** Evidence taken while nobody knows that this source ran (it does not run in this mode, say). */
  | { readonly kind: 'not-exercised'; readonly source: string }
  /** Evidence of an earlier state, although this item was changed for another since. */
  | { readonly kind: 'changed-item'; readonly item: string; readonly fromSerial: string; readonly toSerial: string };

/** Where an acceptance holds; an empty list or null leaves that open. */
export interface DispositionScope {
  /** Serials of configuration items; one of them must be in the build. */
  readonly serials: readonly string[];
  readonly modes: readonly string[];
  readonly bands: readonly string[];
  readonly points: readonly string[];
  readonly temperature: TemperatureRange | null;
}

/** Something accepted in writing, with who, why, where, and for how long. */
export interface Disposition {
  readonly id: number;
  readonly subject: DispositionSubject;
  readonly reason: string;
  readonly approver: string;
  /** ISO 8601 date-time of the approval. */
  readonly at: string;
  readonly scope: DispositionScope;
  /** Holds from this state on, for it and all that come from it; null: for all states. */
  readonly fromStateId: number | null;
  /** Last state for which it holds; null: no end. */
  readonly untilStateId: number | null;
  /** ISO 8601 date, the last day on which it holds; null: it does not expire. */
  readonly expiresOn: string | null;
}

/** How an acceptance stands against the state that is being judged. */
export type DispositionStanding = 'in force' | 'grown' | 'expired' | 'not this build' | 'nothing to accept';

export interface JudgedDisposition {
  readonly dispositionId: number;
  readonly standing: DispositionStanding;
  /** One sentence with the numbers. */
  readonly why: string;
}
