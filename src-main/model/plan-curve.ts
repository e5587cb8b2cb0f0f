/** A point of a source's range at which it can be locked to a clock. */
export interface LockPoint {
  readonly to: string;
  readonly numerator: number;
  readonly denominator: number;
  readonly frequencyHz: number;
  readonly lostChannels: number;
}

/** Channels lost in all, over the frequency of one source, the others where they are chosen. */
export interface PlanCurve {
  readonly source: string;
  readonly frequencyHz: Float64Array;
  /** Running freely, with its own range. */
  readonly freeChannels: Uint32Array;
  readonly freePpm: number;
  /** As sure as the surest clock of the register; exact where there is none. */
  readonly heldChannels: Uint32Array;
  readonly heldPpm: number;
  readonly locks: readonly LockPoint[];
}

/** Channels lost in all over the frequencies of two sources, both as sure as the surest clock. Row after row from the low end of the second. */
export interface PlanMap {
  readonly first: string;
  readonly second: string;
  readonly firstHz: Float64Array;
  readonly secondHz: Float64Array;
  readonly lostChannels: Uint32Array;
}
