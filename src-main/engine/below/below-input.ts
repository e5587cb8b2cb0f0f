import type { LineExplanation } from '../../model/attribution.ts';
import type { CaptureSettings } from '../../model/capture.ts';
import type { Comb } from '../../model/comb.ts';
import type { Floor } from '../../model/floor.ts';
import type { Source } from '../../model/source.ts';
import type { Spur } from '../../model/spur.ts';
import type { Response } from './residual.ts';

export interface BelowInput {
  readonly frequencyHz: Float64Array;
  /** Decibels; NaN where blank. */
  readonly levelDb: Float64Array;
  readonly floor: Floor;
  readonly settings: CaptureSettings;
  readonly spurs: readonly Spur[];
  readonly explanations: readonly LineExplanation[];
  readonly combs: readonly Comb[];
  readonly sources: readonly Source[];
  /** Designators that do not run: not stacked. */
  readonly sourcesOff: readonly string[];
  readonly axisPpm: number;
  readonly claimChance: number;
  /** Half-power width of an unresolved line. */
  readonly lineWidthHz: number;
  /** Power response of the resolution filter. */
  readonly response: Response;
}
