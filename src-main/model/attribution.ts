export type Cause =
  'source' | 'ambiguous' | 'shared' | 'unknown-comb' | 'beat' | 'sideband' | 'ambient' | 'instrument' | 'unexplained';

/** One source (or unknown comb) that could own a line. */
export interface Candidate {
  /** Designator; null for a comb the register does not know. */
  readonly source: string | null;
  readonly harmonic: number;
  readonly predictedHz: number;
  /** One standard deviation of `predictedHz` (from the fitted fundamental). */
  readonly predictedSigmaHz: number;
  /** The chance of the comb it belongs to; see Comb. */
  readonly chance: number;
}

/** What is said of one spur; parallel to the list of spurs. Candidates best first. */
export interface LineExplanation {
  readonly cause: Cause;
  readonly candidates: readonly Candidate[];
  /** One sentence a reviewer can read. */
  readonly why: string;
  /** Who decided it, where an engineer’s decision counts in place of what the tool says; left out: nobody did. */
  readonly decidedBy?: string;
}
