/**
 * A build state set down for the review: from then on the state, what came before it and their captures are read-only.
 *
 * Revisions count through the whole register. What comes after is the next revision, with the list of what differs.
 */
export interface Freeze {
  readonly id: number;
  /** 1, 2, 3 … given once. */
  readonly revision: number;
  readonly stateId: number;
  /** The state's name as it was then. */
  readonly stateName: string;
  readonly note: string;
  readonly by: string;
  /** ISO 8601 date-time, UTC. */
  readonly at: string;
  /** What differs from the revision before, one line each; empty for the first. */
  readonly differs: readonly string[];
  /** Null while it stands. A revision taken up again keeps what packets rest on, and lets the rest be changed. */
  readonly reopened: { readonly by: string; readonly at: string; readonly reason: string } | null;
}

/** A packet that was written from a frozen revision. Nothing it rests on can be deleted. */
export interface PacketRecord {
  readonly id: number;
  readonly freezeId: number;
  /** Name of the folder, without the way to it. */
  readonly folder: string;
  readonly manifestSha256: string;
  readonly files: number;
  readonly signed: boolean;
  readonly at: string;
}
