/** One line as it stands in the capture that is weighed. Levels in decibels of its unit. */
export interface WeighedLine {
  readonly frequencyHz: number;
  readonly frequencySigmaHz: number;
  readonly levelDb: number;
  readonly levelSigmaDb: number;
  /** Width of a broad hump, whose level is its power over that width; null for a line. */
  readonly humpWidthHz: number | null;
}

/**
 * What another capture shows at one place, in decibels of the weighed capture's unit.
 *
 * `seen`: a line stands there within the uncertainty of frequency. `unseen`: none does; `limitDb` is the 95 % limit on one and
 * `detectableDb` what would have been found with probability 0.95. `unusable`: outside the span, blank, or in a unit that does not compare.
 */
export type Sight =
  | {
      readonly is: 'seen';
      readonly spur: number;
      readonly frequencyHz: number;
      readonly levelDb: number;
      readonly levelSigmaDb: number;
      /** True where a line and a broad hump were set side by side: their levels are not of one kind. */
      readonly otherShape: boolean;
    }
  | { readonly is: 'unseen'; readonly limitDb: number; readonly detectableDb: number }
  | { readonly is: 'unusable'; readonly outcome: 'not-covered' | 'not-comparable'; readonly why: string };

/** Looks into one other capture: what stands within `toleranceHz` (beside the captures' own uncertainty) of a place? */
export type Look = (line: WeighedLine, atHz: number, toleranceHz: number) => Sight;
