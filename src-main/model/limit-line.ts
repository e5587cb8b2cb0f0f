/** What a limit is stated for. Readings of one signal order as peak ≥ quasi-peak ≥ average. */
export type LimitDetector = 'peak' | 'quasi-peak' | 'average';

/**
 * A stretch of a limit line: straight in decibels over the logarithm of the frequency, both ends included.
 *
 * Invariants: 0 < `lowHz` < `highHz`. Outside all stretches there is no limit. Where stretches meet or overlap the lower limit holds.
 */
export interface LimitStretch {
  readonly lowHz: number;
  readonly highHz: number;
  readonly lowLevel: number;
  readonly highLevel: number;
}

/** The bandwidth that a limit demands in a range of frequencies. */
export interface DemandedBandwidth {
  readonly lowHz: number;
  readonly highHz: number;
  readonly bandwidthHz: number;
  readonly shape: '3 dB' | '6 dB' | 'noise';
}

/** A limit on the level of emission against frequency. */
export interface LimitLine {
  /** Unique among all lines of a register and the built-in ones. */
  readonly name: string;
  /** A decibel unit: dBm, dBµV, dBµV/m … */
  readonly unit: string;
  /** Ascending by `lowHz`. */
  readonly stretches: readonly LimitStretch[];
  /** null: the document states none; every reading is then held against it as it is. */
  readonly detector: LimitDetector | null;
  /** Empty: none is demanded. Where ranges meet either bandwidth will do. */
  readonly bandwidths: readonly DemandedBandwidth[];
  /** Measuring distance in metres for fields; null where it has no meaning or nobody said. */
  readonly distanceM: number | null;
  /** Title and edition of the document, and the table or clause. */
  readonly document: string;
  /** False: nobody here has confirmed the values; every verdict with it says “limit not confirmed”. */
  readonly isConfirmed: boolean;
  /** What is known of the values: where they were read, or “from memory: check against your edition”. */
  readonly origin: string;
}

/** Words that stand beside every verdict with an unconfirmed limit. */
export const LIMIT_NOT_CONFIRMED = 'limit not confirmed';
/** Words beside a built-in limit that nobody here could open. */
export const FROM_MEMORY = 'from memory: check against your edition';
