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
  /** The calibration chain that its levels went through; left out: none. */
  readonly chain?: TraceChain;
}

/** As much of a calibration chain as a comparison needs: between two traces through the same one its doubt cancels. */
export interface TraceChain {
  /** The same for two traces if and only if they went through the same tables in the same version. */
  readonly key: string;
  /** Its tables in order. */
  readonly name: string;
  /** The largest doubt that it brings to a level of the trace, one standard deviation. */
  readonly sigmaDb: number;
}
