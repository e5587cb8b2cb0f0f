/** How well the lines of a capture fit a fundamental somebody guessed. */
export interface GuessScore {
  readonly fundamentalHz: number;
  /** Harmonics in the span at which a line was found, and how many lie in the span. */
  readonly harmonicsSeen: readonly number[];
  readonly expected: number;
  /** The highest harmonic in the span; 0 where none is. */
  readonly lastHarmonic: number;
  /** A line within ± this of a harmonic counts as seen. */
  readonly reachHz: number;
  /**
   * How often a comb put down at random over these lines would meet as many: a p-value of this one guess. Whoever tries many and keeps the best has
   * searched, and the search is not counted here.
   */
  readonly chance: number;
  /** The fundamental fitted to the lines seen, and its standard deviation; null with fewer than two. */
  readonly fittedHz: number | null;
  readonly fittedSigmaHz: number | null;
}
