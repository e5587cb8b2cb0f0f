import type { Plan } from './plan.ts';

/** What a plan was made with, apart from the register's sources and bands. */
export interface PlanBasis {
  readonly temperatureSpanK: number;
  readonly leakageHz: number;
  readonly offerLocks: boolean;
  readonly seed: number;
  /** Take the measured fundamental of a source, where a capture shows its comb, in place of nominal frequency and tolerance. */
  readonly useMeasured: boolean;
  /** Designators of sources that were left out: they do not run while the bands are used. */
  readonly leftOut: readonly string[];
}

/** A plan that was decided on, with what it predicted. It stays as it was when the register goes on. */
export interface AdoptedPlan {
  readonly id: number;
  readonly title: string;
  /** The build state that is planned with it; its captures are compared with the prediction. */
  readonly stateId: number | null;
  readonly basis: PlanBasis;
  readonly plan: Plan;
  /** What today cost when it was adopted. */
  readonly lostChannelsBefore: number;
  readonly by: string;
  /** ISO 8601 date-time. */
  readonly at: string;
}
