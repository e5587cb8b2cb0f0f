import type { CaptureSettings } from '../../model/capture.ts';
import type { Floor } from '../../model/floor.ts';
import type { Spur } from '../../model/spur.ts';
import { lossBetweenPoints } from './between-points.ts';
import { describeSpur, INSTABILITY_PPM, type TraceFrame } from './describe-spur.ts';
import { joinHumps } from './join-humps.ts';
import { learnFilter, type LearntFilter } from './learn-filter.ts';
import { lineLaw } from './line-law.ts';
import { filterResponse, type FilterShape } from './line-shape.ts';
import { withoutNeighbours } from './neighbour-skirts.ts';
import { pickPeaks } from './pick-peaks.ts';
import { unseenWidening } from './unseen-neighbours.ts';

export interface SpurInput {
  /** Ascending. */
  readonly frequencyHz: Float64Array;
  readonly levelDb: Float64Array;
  readonly floor: Floor;
  readonly settings: CaptureSettings;
  /** Common error of the frequency axis. It shifts all lines alike and is not part of a spur's own uncertainty, but bounds what it wanders. */
  readonly frequencyAccuracyPpm: number;
}

export interface SpurResult {
  /** Ascending in frequency. */
  readonly spurs: Spur[];
  /** Point spacing exceeds the RBW: lines may be missed and frequencies are only good to the spacing. */
  readonly sparse: boolean;
  readonly spacingHz: number;
  /** Half-power width of an unresolved line in this trace. */
  readonly lineWidthHz: number;
  /** Its shape, as learnt from the trace's own lines; Gaussian where these cannot tell. */
  readonly lineShape: FilterShape;
  readonly warnings: string[];
}

const DB = 10 / Math.LN10;
/** What is taken for the error of a shape that is known exactly: the least that is taken for any (see learnFilter). */
const KNOWN_SHAPE_DOUBT = 0.15;

/**
 * One spur per line over the threshold, with sub-bin frequency, level freed of the noise under it, and uncertainties.
 *
 * Frequencies come from a fit of the resolution filter's shape to the points around a peak (see fitLine), levels from the same
 * fit. Where the shape does not apply (sparse points, humps, ends of the trace) the frequency is that of the peak point or the
 * centre of power, with the uncertainty of the spacing or the width.
 */
export function findSpurs(input: SpurInput): SpurResult {
  const { frequencyHz, levelDb, floor, settings } = input;
  const n = frequencyHz.length;
  const warnings: string[] = [];
  const spacingHz = n > 1 ? (frequencyHz[n - 1]! - frequencyHz[0]!) / (n - 1) : 0;
  const sparse = settings.rbwHz !== null && spacingHz > 1.05 * settings.rbwHz;

  const law = lineLaw(settings, floor);
  const detected = detectedPoints(levelDb, floor);
  const ratio = new Float64Array(n);
  for (let i = 0; i < n; i++) ratio[i] = law.ratioOf(levelDb[i]! - floor.meanDb[i]!);
  const keepAbove = 10 ** (Math.min(floor.pointSpreadDb, 3) / 10);
  // the widest of the swept filters bounds the others'; a computed spectrum has side lobes instead
  const skirt =
    settings.rbwHz === null || (settings.computedLine ?? null) !== null
      ? null
      : {
          widthPoints: Math.max(settings.rbwHz / spacingHz, 1),
          response: (offsetWidths: number) => filterResponse(offsetWidths, 1, 'four-pole'),
        };
  const peaks = pickPeaks(ratio, detected, law.variance, keepAbove, skirt);
  // how deep noise-like power dents by itself: three standard deviations of a difference, 6 dB at the most
  const dent = 10 ** (-Math.min(6, 3 * Math.SQRT2 * spreadOf(floor.looks)) / 10);
  const merged = joinHumps(peaks, ratio, settings.rbwHz ?? 2 * spacingHz, frequencyHz, dent);

  const rounding = (Math.LN10 / 10) * (roundingStepDb(levelDb) / Math.sqrt(12));
  const stated = settings.rbwHz === null ? null : settings.rbwHz * (settings.rbwShape === '6 dB' ? Math.SQRT1_2 : 1);
  const computed = settings.computedLine ?? null;
  const filter: LearntFilter = sparse
    ? { shape: 'gaussian', widthHz: Math.max(stated!, spacingHz), doubt: 1, measuredHz: null }
    : computed !== null
      ? { shape: computed, widthHz: computed.widthHz, doubt: KNOWN_SHAPE_DOUBT, measuredHz: computed.widthHz }
      : learnFilter(frequencyHz, ratio, merged, stated, spacingHz, { variance: law.variance, rounding });
  const measured = filter.measuredHz;
  if (sparse)
    warnings.push(
      `Points lie ${(spacingHz / settings.rbwHz).toFixed(1)} resolution bandwidths apart: lines between points may be missed, frequencies are only good to the spacing, and no unknown comb is claimed.`,
    );
  if (settings.rbwHz === null)
    warnings.push(
      measured === null
        ? 'The resolution bandwidth is unknown and no line is clear enough to show it: twice the point spacing is taken for the width of a line.'
        : `The resolution bandwidth is unknown; the trace's own lines are ${(measured / 1e3).toPrecision(3)} kHz wide at half power, and that is used.`,
    );

  const frame: TraceFrame = {
    frequencyHz,
    ratio,
    floor,
    spacingHz,
    sparse,
    filter,
    widthKnown: settings.rbwHz !== null || measured !== null,
    law,
    correlation: law.powerCorrelation(floor.neighbourCorrelation),
    rounding,
    lossBetweenPoints: lossBetweenPoints(spacingHz, settings.rbwHz ?? spacingHz),
    instabilityPpm: Math.min(INSTABILITY_PPM, input.frequencyAccuracyPpm),
  };
  const widening = unseenWidening(
    merged.map(({ peak }) => ({ frequencyHz: frequencyHz[peak]!, overFloorDb: 10 * Math.log10(ratio[peak]!) })),
    filter.widthHz,
    frequencyHz[0]!,
    frequencyHz[n - 1]!,
  );
  const alone = merged.map((peak, k) =>
    describeSpur(peak, frame, { unseenWidening: widening[k]!, frequencySigmaHz: 0, levelSigmaDb: 0 }),
  );
  const described = sparse ? alone : withoutNeighbours(merged, alone, widening, frame);
  const waves = described.filter((spur) => isWaveOfFloor(spur, frame));
  if (waves.length > 0)
    warnings.push(
      `The floor waves faster than its window follows at ${waves.map((spur) => `${(spur.frequencyHz / 1e6).toFixed(3)} MHz`).join(', ')} (up to ${Math.max(...waves.map((spur) => spur.overFloorDb)).toFixed(1)} dB); this is not counted as a spur.`,
    );
  const spurs = described.filter((spur) => !waves.includes(spur));
  return { spurs, sparse, spacingHz, lineWidthHz: filter.widthHz, lineShape: filter.shape, warnings };
}

/**
 * Points above the threshold, and pairs of neighbours whose mean power is above that for pairs. Of a pair both points count, where
 * the weaker is no further down than a line between them explains.
 */
function detectedPoints(levelDb: Float64Array, floor: Floor): Uint8Array {
  const n = levelDb.length;
  const detected = new Uint8Array(n);
  const pair = 2 * 10 ** (floor.pairThresholdOverFloorDb / 10);
  let before = 0;
  for (let i = 0; i < n; i++) {
    const over = levelDb[i]! - floor.meanDb[i]!;
    const power = 10 ** (over / 10);
    if (levelDb[i]! > floor.thresholdDb[i]!) detected[i] = 1;
    if (before + power > pair) {
      if (power >= before) detected[i] = 1;
      else detected[i - 1] = 1;
    }
    before = power >= 0 ? power : 0;
  }
  return detected;
}

/**
 * The floor's own shape, not something standing on it: a low swell nearly as wide as the window that made the floor, or one at an
 * end of the trace where the window is cut short, or what rises less than 1 dB where half of the points around are as good
 * as half as high.
 */
function isWaveOfFloor(spur: Spur, { ratio, floor, spacingHz, frequencyHz }: TraceFrame): boolean {
  const windowHz = floor.windowPoints * spacingHz;
  if (spur.shape === 'hump' && spur.widthHz > windowHz / 4 && spur.overFloorDb < 3) return true;
  if (spur.overFloorDb >= 1) return false;
  const toEndHz = Math.min(spur.frequencyHz - frequencyHz[0]!, frequencyHz[ratio.length - 1]! - spur.frequencyHz);
  if (spur.shape === 'hump' && toEndHz < windowHz / 8) return true;
  const reach = Math.max(8, Math.floor(floor.windowPoints / 6));
  const around = ratio.slice(Math.max(0, spur.peakIndex - reach), spur.peakIndex + reach + 1).sort();
  return 10 * Math.log10(around[around.length >> 1]!) > spur.overFloorDb / 2;
}

/** The step the levels are rounded to, where one of 1, 0.1, 0.01 or half of these fits all of the first thousand; else 0. */
function roundingStepDb(levelDb: Float64Array): number {
  const some = levelDb.subarray(0, 1000).filter((level) => Number.isFinite(level));
  const fits = (step: number): boolean =>
    some.every((level) => Math.abs(level / step - Math.round(level / step)) < 1e-6);
  return some.length < 10 ? 0 : ([1, 0.5, 0.1, 0.05, 0.01].find(fits) ?? 0);
}

/** Standard deviation in dB of K averaged looks (first order: 4.34·√(1/K), exact to 0.1 dB from K = 4 on). */
function spreadOf(looks: number): number {
  return DB / Math.sqrt(Math.max(1, looks));
}
