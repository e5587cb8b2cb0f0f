import type { BuildState, EnvironmentEvent, Fix } from './build-state.ts';
import type { Band } from './band.ts';
import type { CalibrationTable } from './calibration.ts';
import type { CompareSettings } from './compare-settings.ts';
import type { Condition } from './condition.ts';
import type { Decision } from './decision.ts';
import type { Disposition } from './disposition.ts';
import type { Freeze } from './freeze.ts';
import type { LimitLine } from './limit-line.ts';
import type { MeasuringPoint } from './measuring-point.ts';
import type { Recheck } from './recheck.ts';
import type { Requirement } from './requirement.ts';
import type { ReviewNote } from './review-note.ts';
import type { Source } from './source.ts';
import type { Trace } from './trace.ts';
import type { TriageSettings } from './triage-settings.ts';
import type { VerdictSettings } from './verdict-settings.ts';

/** Schema of `packet.json`; a number that this version does not know is from a newer one. */
export const PACKET_SCHEMA = 'spurledger.packet-contents/1';

/** A trace without its columns, which are in a file of their own. */
export type PacketTrace = Omit<Trace, 'frequencyHz' | 'level'> & { readonly points: number };

/** A capture as the packet carries it; its files bear its number. */
export interface PacketCapture {
  /** Number in the register; decisions and comparisons name it. */
  readonly id: number;
  readonly file: string;
  /** SHA-256 of the original file. */
  readonly sha256: string;
  readonly layout: string;
  readonly warnings: readonly string[];
  readonly traces: readonly PacketTrace[];
  /** Index of the trace that is analysed. */
  readonly traceIndex: number;
  readonly stateId: number | null;
  readonly pointId: number | null;
  readonly condition: Condition;
  readonly addedAt: string;
  readonly settings: TriageSettings;
  /** Name of its calibration chain; null: none, levels are those of the file. */
  readonly chain: string | null;
  /** What its levels are taken through, in order; a transfer of the point to the receiver's input comes last. */
  readonly tables: readonly CalibrationTable[];
  /** Version of that transfer; null: none was applied. */
  readonly transferVersion: number | null;
}

export interface PacketSource {
  readonly letter: string;
  readonly source: Source;
}

/** Two sides that the packet compares, by the numbers of their captures. */
export interface PacketComparison {
  readonly name: string;
  readonly beforeIds: readonly number[];
  readonly afterIds: readonly number[];
  /** Places of earlier comparisons in the list whose cleared lines count as cleared before: seen again they are `back`. */
  readonly after: readonly number[];
  readonly settings: CompareSettings;
  /** Designators that the step was meant for. */
  readonly meantFor: readonly string[];
}

/**
 * Everything a packet states that is not computed: what `packet.json` holds. All results follow from this and the traces.
 */
export interface PacketContents {
  readonly schema: typeof PACKET_SCHEMA;
  readonly engineVersion: string;
  readonly title: string;
  readonly isInvented: boolean;
  /** Null for a draft: the register as it stood, without a freeze. */
  readonly freeze: Freeze | null;
  /** The date the packet bears: of the freeze, or of the last change kept. */
  readonly at: string;
  /** States, oldest first; with a freeze the frozen state is the last. */
  readonly states: readonly BuildState[];
  readonly fixes: readonly Fix[];
  readonly points: readonly MeasuringPoint[];
  readonly events: readonly EnvironmentEvent[];
  readonly bands: readonly Band[];
  readonly sources: readonly PacketSource[];
  readonly decisions: readonly Decision[];
  readonly captures: readonly PacketCapture[];
  readonly comparisons: readonly PacketComparison[];
  readonly requirements: readonly Requirement[];
  /** The limit lines that requirements name. */
  readonly limits: readonly LimitLine[];
  readonly dispositions: readonly Disposition[];
  readonly verdictSettings: VerdictSettings;
  readonly rechecks: readonly Recheck[];
  readonly notes: readonly ReviewNote[];
  /** Captures and states of the register that lie outside this packet, one line each. */
  readonly leftOut: readonly string[];
}
