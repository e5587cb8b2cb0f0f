import type { CaptureSettings } from '../../../src-main/model/capture.ts';
import type { Source } from '../../../src-main/model/source.ts';
import type { FilterKind } from '../simulator/resolution-filter.ts';

/** Whose a line is. `source`: a register entry's designator; `comb`: a comb nobody registered; `foreign`: not of the build. */
export type Owner =
  | { readonly kind: 'source'; readonly source: string; readonly harmonic: number }
  | { readonly kind: 'comb'; readonly comb: string; readonly harmonic: number }
  | { readonly kind: 'foreign' };

/** One line as it truly is, on the axis that the capture has (an error of the axis included). */
export interface TruthLine {
  readonly frequencyHz: number;
  readonly levelDb: number;
  /** Power of the line over the mean noise power in the bandwidth at its place. */
  readonly overFloorDb: number;
  readonly owner: Owner;
  /** Width it is smeared to by its own wandering in a sweep or between sweeps, Hz. */
  readonly smearHz: number;
}

/** A comb that truly radiates. */
export interface TruthComb {
  readonly name: string;
  readonly registered: boolean;
  /** On the capture's axis, in the middle of the sweep. */
  readonly fundamentalHz: number;
  /** Largest distance of a tooth from harmonic × fundamental, relative, ppm: drift within the sweep. */
  readonly bentPpm: number;
}

/** A capture with everything that is true of it. */
export interface AccuracyCase {
  /** What is special about the sources. */
  readonly name: string;
  /** What is special about the reception: how sweeps are combined, which filter, detector and spacing. */
  readonly reception: string;
  readonly seed: number;
  readonly frequencyHz: Float64Array;
  readonly levelDb: Float64Array;
  /** What a file would say of how it was taken. */
  readonly settings: CaptureSettings;
  readonly sources: readonly Source[];
  readonly lines: readonly TruthLine[];
  readonly combs: readonly TruthComb[];
  /** Mean noise power in the bandwidth at each point, dB. */
  readonly noiseDb: Float64Array;
  readonly rbwHz: number;
  readonly spacingHz: number;
  readonly filter: FilterKind;
}
