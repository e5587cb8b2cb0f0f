import type { Comb, SourceNotSeen } from '../../model/comb.ts';
import type {
  DecisionStanding,
  DriftEstimate,
  LoadShift,
  ReferenceUse,
  WeighedExplanation,
} from '../../model/evidence.ts';

/** What the other captures of the same measuring point say of one; explanations are parallel to the spurs of its triage. */
export interface EvidenceView {
  readonly captureId: number;
  readonly explanations: readonly WeighedExplanation[];
  readonly combs: readonly Comb[];
  readonly notSeen: readonly SourceNotSeen[];
  readonly references: readonly ReferenceUse[];
  readonly loadShifts: readonly LoadShift[];
  /** Every decision on this capture and how it stands against the evidence. */
  readonly decisions: readonly DecisionStanding[];
  readonly warnings: readonly string[];
}

type None = Record<string, never>;

export interface EvidenceCalls {
  /** Weighs a capture against all others that may say something of it; what is not triaged yet is triaged first. */
  evidenceRun(argument: { captureId: number; jobId: string }): Promise<EvidenceView>;
  /** The same where every triage that it needs is kept and fresh; else null. */
  evidenceGet(argument: { captureId: number }): Promise<EvidenceView | null>;
  /**
   * How the sources' frequencies move with temperature, over all captures that are triaged and whose temperature is stated. An `offer` is
   * the register entry with the figure in it, to be given to sourcePut.
   */
  driftOffers(argument: None): Promise<readonly DriftEstimate[]>;
}
