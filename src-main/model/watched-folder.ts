import type { Condition } from './condition.ts';

/** A folder whose captures are taken in by themselves as they appear. */
export interface WatchedFolder {
  readonly id: number;
  /** Absolute. */
  readonly path: string;
  /** What arrives is put to these; null: to none. */
  readonly stateId: number | null;
  readonly pointId: number | null;
  readonly condition: Partial<Condition>;
  /** Captures that what arrives is compared with at once, as the after side; empty: not compared. */
  readonly compareWith: readonly number[];
  /** False: kept, but not looked at. */
  readonly isOn: boolean;
}
