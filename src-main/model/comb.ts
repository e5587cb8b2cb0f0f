/**
 * A family of lines at integer multiples of one fundamental.
 *
 * `chance` is a p-value: how often a comb at least as well supported would appear in this capture if this source were
 * not running, the search over fundamentals, harmonics and register entries counted in. It is not the probability of being right.
 */
export interface Comb {
  /** Designator; null for a comb that the register does not know. */
  readonly source: string | null;
  readonly fundamentalHz: number;
  readonly fundamentalSigmaHz: number;
  /** Harmonic numbers at which a line was found, ascending. */
  readonly harmonicsSeen: readonly number[];
  /** Harmonic numbers expected inside the span, whether found or not. */
  readonly harmonicsExpected: readonly number[];
  readonly chance: number;
  readonly couldAlsoBe: readonly string[];
}

/** A register entry for which no comb is claimed, and why. */
export interface SourceNotSeen {
  readonly source: string;
  readonly reason: string;
}
