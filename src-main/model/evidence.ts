import type { Cause, LineExplanation } from './attribution.ts';
import type { Comb, SourceNotSeen } from './comb.ts';
import type { EvidenceSettings } from './evidence-settings.ts';
import type { Source } from './source.ts';

/** Where a piece of evidence comes from. */
export type EvidenceKind =
  /** The capture itself was taken with all off, or with its input terminated. */
  | 'role'
  /** A capture with all sources off. */
  | 'sources-off'
  /** A capture with the input terminated: at the analyser, at the probe's end of the cable, or nobody said where. */
  | 'terminated'
  /** A capture with more or less attenuation. */
  | 'attenuator'
  /** A capture in which some of the sources were off. */
  | 'switch-off'
  /** A source that ran on moved when another was switched off. */
  | 'load-shift'
  /** Captures at other temperatures or loads: what moves by the same ratio belongs together. */
  | 'co-drift'
  /** A frequency band known for its stations or bench culprits: a hint, never proof. */
  | 'band';

/** What was seen, the same words for every kind that compares levels. */
export type EvidenceOutcome =
  | 'same'
  | 'stronger'
  | 'weaker'
  /** Not there, and the other capture would have shown it. */
  | 'absent'
  /** Not there, but the other capture would not have shown it for certain. */
  | 'not-sensitive'
  | 'not-covered'
  | 'not-comparable'
  /** There, but moved along with its comb. */
  | 'moved-along'
  /** Attenuator: a line that arrives at the input, one made in the analyser, one made there by overload. */
  | 'real'
  | 'residual'
  | 'overload'
  /** The figures fit more than one of the above, or none. */
  | 'undecided'
  | 'hint';

/** A cause, and the source where the cause names one. */
export interface Claim {
  readonly cause: Cause;
  readonly source: string | null;
}

/** One piece of evidence on one line, from outside its own capture. Levels in decibels of the capture's unit. */
export interface Evidence {
  readonly kind: EvidenceKind;
  /** The capture it comes from; null for general knowledge. */
  readonly file: string | null;
  readonly outcome: EvidenceOutcome;
  /** Sources that were switched off there. */
  readonly sources: readonly string[];
  readonly supports: readonly Claim[];
  readonly contradicts: readonly Claim[];
  /** Level there minus level here; null where the line was not seen there. */
  readonly changeDb: number | null;
  /** One standard deviation of a change that nothing was done to: both levels and the repeatability of the set-up. */
  readonly changeSigmaDb: number | null;
  /** 95 % upper limit on the line there, where it was not seen. */
  readonly limitDb: number | null;
  /** Order of an overload product; null elsewhere. */
  readonly order: number | null;
  /** In what state the other capture was taken, in words; null where the sentence alone says it. */
  readonly where: string | null;
  readonly sentence: string;
}

/** An explanation with what other captures say of the line. */
export interface WeighedExplanation extends LineExplanation {
  readonly evidence: readonly Evidence[];
  /** What its own capture alone said. */
  readonly causeAlone: Cause;
}

/** How one other capture served. */
export interface ReferenceUse {
  readonly file: string;
  readonly as: 'sources-off' | 'terminated' | 'attenuator' | 'switch-off' | 'drift' | 'none';
  /** One sentence: what it was used for, or why not. */
  readonly why: string;
}

/** A source that moved when another was switched off. */
export interface LoadShift {
  readonly source: string | null;
  readonly fundamentalHz: number;
  readonly file: string;
  readonly switchedOff: readonly string[];
  readonly ppm: number;
  readonly sigmaPpm: number;
}

/** How a source's frequency moves with temperature, from captures at several temperatures. */
export interface DriftEstimate {
  readonly source: string;
  readonly ppmPerK: number;
  /** One standard deviation: fits, thermometer, and the source's own wandering as far as more than two captures show it. */
  readonly sigmaPpmPerK: number;
  readonly captures: readonly string[];
  readonly lowC: number;
  readonly highC: number;
  /** Degrees of freedom left; 0: nothing shows how far the source wanders by itself. */
  readonly degrees: number;
  /** What the register says today; null: nothing. */
  readonly registeredPpmPerK: number | null;
  /** Other sources whose drift agrees within its uncertainty: drift does not tell them apart. */
  readonly sameAs: readonly string[];
  /** The register entry with the figure in it, to be taken over in one step; null where the figure is not good enough. */
  readonly offer: Source | null;
  readonly sentence: string;
}

/** What all captures together say of one. Parallel to its spurs. */
export interface WeighedTriage {
  readonly settings: EvidenceSettings;
  readonly explanations: readonly WeighedExplanation[];
  readonly combs: readonly Comb[];
  readonly notSeen: readonly SourceNotSeen[];
  readonly references: readonly ReferenceUse[];
  readonly loadShifts: readonly LoadShift[];
  readonly warnings: readonly string[];
}

/** How a decision of the engineer stands against the evidence of today. */
export interface DecisionStanding {
  readonly decisionId: number;
  /** The line it is about, index into the spurs; null where no line is left that it could mean. */
  readonly spur: number | null;
  readonly foundBy: 'source and harmonic' | 'frequency' | null;
  readonly standing: 'agrees' | 'evidence disagrees' | 'no line';
  readonly sentence: string;
}
