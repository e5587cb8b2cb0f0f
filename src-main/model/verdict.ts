import type { TemperatureRange } from './requirement.ts';

export type Ruling = 'holds' | 'falls short' | 'not shown';

/** Why something is not shown; in the words that stand on the page. */
export type NotShownReason =
  | 'no band'
  | 'no limit'
  | 'not measured'
  | 'changed item'
  | 'no unit'
  | 'probe reading without transfer'
  | 'detector does not fit'
  | 'bandwidth does not fit'
  | 'not sensitive enough'
  | 'masked'
  | 'cannot tell'
  | 'not exercised';

/** The line (or the place) that decided a verdict. */
export interface DecidingLine {
  readonly captureId: number;
  /** Place in the capture's list of spurs; null where no line decided but the noise. */
  readonly spurIndex: number | null;
  /** Where it stands in the capture. */
  readonly frequencyHz: number;
  /** Where it comes out in the band: the same, or folded or mixed. */
  readonly inBandHz: number;
  readonly source: string | null;
  readonly harmonic: number | null;
  /** As the capture shows it, decibels of `unit`; null where no line decided. */
  readonly levelDb: number | null;
  readonly levelSigmaDb: number | null;
  readonly unit: string;
}

/**
 * What is said of one requirement in one band, mode, temperature and point. Doubt counts against the build: `holds` needs the upper
 * bound of every line, and of what a capture could have missed, to stay within what is allowed.
 *
 * For `strongest-line`: `found` and `allowed` are decibels of `unit` at the deciding line. For `clean-channels`: counts, `unit` is
 * “channels”, `found` the best estimate between `foundLow` and `foundHigh`.
 */
export interface Verdict {
  readonly requirementId: number;
  readonly code: string;
  /** null: the requirement names no band. */
  readonly band: string | null;
  /** Name of the limit line; null: what the band allows. */
  readonly limit: string | null;
  readonly isLimitConfirmed: boolean;
  /** null: whatever mode the captures are in. */
  readonly mode: string | null;
  readonly temperature: TemperatureRange | null;
  readonly point: string | null;
  readonly ruling: Ruling;
  /** null unless `not shown`. */
  readonly reason: NotShownReason | null;
  /** Captures that were used, own ones and those of earlier states that still count. */
  readonly captureIds: readonly number[];
  readonly unit: string;
  readonly found: number | null;
  /** Bounds at the confidence of the settings. */
  readonly foundLow: number | null;
  readonly foundHigh: number | null;
  readonly allowed: number | null;
  /** To spare (positive) or short (negative), with the doubt counted against the build. Decibels or channels. */
  readonly margin: number | null;
  readonly decidedBy: DecidingLine | null;
  /** Dispositions without which it would not hold. */
  readonly dispositionIds: readonly number[];
  /** One sentence with the numbers. */
  readonly why: string;
}

/** What one capture can show in one band. Levels in decibels of the capture's unit. */
export interface CaptureSensitivity {
  readonly captureId: number;
  readonly band: string;
  /** Share of the band's width that the capture covers with points, 0…1. */
  readonly coveredShare: number;
  /** The weakest line it finds with probability 0.95 at the place where it is least sensitive in the band; null where nothing is covered. */
  readonly weakestDetectableDb: number | null;
  /** The same over the local mean noise power. */
  readonly weakestOverFloorDb: number | null;
  /** The least that the band allows over what could be missed, dB; negative: not sensitive enough. null: nothing allowed is comparable. */
  readonly spareDb: number | null;
  readonly unit: string;
}
