/**
 * What one capture says of a comb below the threshold of single lines: the mean power at all its predicted harmonics at which no
 * line was found, stacked. Heights are line powers over the local mean noise power, in dB.
 */
export interface CombBelow {
  /** Designator; null for a comb that has no single owner. */
  readonly source: string | null;
  /** Where the comb was stacked; null where a search found nothing better than chance. */
  readonly fundamentalHz: number | null;
  readonly fundamentalSigmaHz: number | null;
  /** How many places for the fundamental were tried; 1 where lines, or a lock, tell it. */
  readonly trials: number;
  readonly harmonicsStacked: number;
  /**
   * Mean line power over the floor; null where the stack is no better than chance. Where decibels were averaged, or the largest were kept, it is
   * the power of equal lines that raise the mean as much: less than the mean power of unequal ones.
   */
  readonly meanOverFloorDb: number | null;
  readonly sigmaDb: number | null;
  /**
   * The same quantity is below this with 95 % confidence, wherever in its range the fundamental lies; null where nothing could be
   * stacked. `why` says whether it bounds the mean power or the power of lines that are alike.
   */
  readonly upperLimitOverFloorDb: number | null;
  /** How often noise alone gives as good a stack, the search for the fundamental and all searched entries counted in. */
  readonly chance: number;
  /** Other register entries that could run at the fundamental found. */
  readonly couldAlsoBe: readonly string[];
  /** One sentence a reviewer can read. */
  readonly why: string;
}
