import type { Condition } from './condition.ts';
import type { Trace } from './trace.ts';
import type { Triage } from './triage.ts';

/** One trace with everything the engine said of it: what a comparison starts from. */
export interface TriagedTrace {
  readonly trace: Trace;
  /** Levels in decibels of the trace's unit; same length as the trace. */
  readonly levelDb: Float64Array;
  readonly triage: Triage;
  readonly condition: Condition | null;
  /** The name the user knows the file by. */
  readonly file: string;
}
