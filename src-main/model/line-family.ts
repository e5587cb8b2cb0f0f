/**
 * Lines that are no harmonics but belong together: beats of two combs, sidebands at one spacing about several carriers, or harmonics that
 * a receiver's sampling or local oscillator put somewhere else.
 */
export interface LineFamily {
  readonly kind: 'beat' | 'sideband' | 'fold';
  /** Designators of what makes it, null for a comb that the register does not know. Empty for sidebands whose spacing nobody owns. */
  readonly sources: readonly (string | null)[];
  /** Of sidebands; null for the others. */
  readonly spacingHz: number | null;
  readonly spacingSigmaHz: number | null;
  /** The band whose sampling or oscillator folds; null for the others. */
  readonly band: string | null;
  /** Indices of its spurs, ascending. */
  readonly spurs: readonly number[];
  /** Places at which a line of it could have been seen. */
  readonly places: number;
  /** How often lines at random would show as good a family, the search over pairs, orders, spacings, bands and kinds counted in. */
  readonly chance: number;
  readonly why: string;
}

/** How far a deliberately modulated source is seen to sweep. */
export interface SpreadEstimate {
  readonly source: string;
  /** Peak to peak, as registered; null where the register states none. */
  readonly statedPpm: number | null;
  readonly estimatedPpm: number;
  readonly sigmaPpm: number;
  /** Humps whose widths tell it. */
  readonly humps: number;
}
