import type { Floor } from '../../model/floor.ts';
import type { Spur } from '../../model/spur.ts';
import { curvatureWidth, type LearntFilter } from './learn-filter.ts';
import type { LineLaw } from './line-law.ts';
import { filterResponse, fitLine } from './line-shape.ts';
import type { Peak } from './pick-peaks.ts';

const DB = 10 / Math.LN10;

/** What an unknown filter shape does to a fitted centre, in line widths, at doubt 1. Found on simulated filters. */
const SHAPE_SIGMA_WIDTHS = 0.003;

/**
 * What source and sweep wander within the seconds of a capture, parts per million, one standard deviation. It shifts a line without
 * widening it visibly, so no fit can show it. A choice of this tool between crystals (hundredths) and free-running converters
 * (one and more, averaged over the sweeps); an axis stated to be better bounds it. Common practice, no source.
 */
export const INSTABILITY_PPM = 0.12;
/** Held sweeps keep the extremes of that wandering instead of averaging it. Found on simulated sweeps of wandering sources. */
const HELD_INSTABILITY = 3;
/** What the largest of wandering and beating sweeps adds to a line, dB, one standard deviation. Found on simulated sweeps. */
const HELD_LEVEL_SIGMA_DB = 0.02;

/** Of unseen lines within one width, those far enough off to lean a peak. A choice of this tool. */
const LEANING_SHARE = 0.5;

/** A stretch wider than this many line widths at half power is not one steady line. A choice of this tool. */
const HUMP_WIDTHS = 2.2;

/** Everything a single spur is judged by that is common to the trace. */
export interface TraceFrame {
  readonly frequencyHz: Float64Array;
  /** Power over mean noise of each point, 1 + S at a line. */
  readonly ratio: Float64Array;
  readonly floor: Floor;
  readonly spacingHz: number;
  readonly sparse: boolean;
  readonly filter: LearntFilter;
  /** False where neither settings nor lines tell how wide a line is. */
  readonly widthKnown: boolean;
  readonly law: LineLaw;
  /** Of the noise power of neighbouring points. */
  readonly correlation: number;
  /** Relative scatter of a power by the rounding of its decibels. */
  readonly rounding: number;
  /** What a line between two points loses, where `sparse` (see lossBetweenPoints). */
  readonly lossBetweenPoints: { readonly meanDb: number; readonly sigmaDb: number };
  /** See INSTABILITY_PPM. */
  readonly instabilityPpm: number;
}

/** What lines nearby may do to a spur, one standard deviation. */
export interface Crowding {
  /** By how much the fit's own uncertainty is widened for lines that are not seen (see unseenWidening). */
  readonly unseenWidening: number;
  readonly frequencySigmaHz: number;
  readonly levelSigmaDb: number;
}

const ALONE: Crowding = { unseenWidening: 1, frequencySigmaHz: 0, levelSigmaDb: 0 };

/** Frequency, level, width and shape of the spur at a peak. */
export function describeSpur(
  { peak, first, last, crowded }: Peak,
  frame: TraceFrame,
  crowding: Crowding = ALONE,
): Spur {
  const { frequencyHz, ratio, floor, spacingHz, sparse, filter, law, rounding } = frame;
  const n = ratio.length;
  const lineWidthHz = frame.widthKnown ? filter.widthHz : (curvatureWidth(frequencyHz, ratio, peak) ?? filter.widthHz);
  const half = 1 + (ratio[peak]! - 1) / 2;
  let low = peak;
  while (low > first && ratio[low - 1]! > half) low--;
  let high = peak;
  while (high < last && ratio[high + 1]! > half) high++;
  const cross = (inside: number, outside: number): number => {
    if (outside < 0 || outside >= n || !(ratio[outside]! < half)) return frequencyHz[inside]!;
    const t = (ratio[inside]! - half) / (ratio[inside]! - ratio[outside]!);
    return frequencyHz[inside]! + t * (frequencyHz[outside]! - frequencyHz[inside]!);
  };
  const widthHz = Math.max(cross(high, high + 1) - cross(low, low - 1), 0.1 * spacingHz);
  const isHump = !sparse && widthHz > HUMP_WIDTHS * Math.max(lineWidthHz, 1.2 * spacingHz);
  const common = { peakIndex: peak, firstIndex: first, lastIndex: last, crowded, widthHz };
  const floorDb = floor.meanDb[peak]!;

  if (isHump) {
    let power = 0;
    let moment = 0;
    for (let i = low; i <= high; i++) {
      const s = Math.max(0, ratio[i]! - 1);
      power += s;
      moment += s * frequencyHz[i]!;
    }
    const points = high - low + 1;
    return {
      ...common,
      shape: 'hump',
      frequencyHz: moment / power,
      // the top of a hump is rough: its centre of power wanders by its width over the root of its independent points
      frequencySigmaHz: widthHz / Math.sqrt(12 * Math.max(1, (points * spacingHz) / lineWidthHz)),
      levelDb: floorDb + 10 * Math.log10(Math.max(ratio[peak]! - 1, 1e-3)),
      levelSigmaDb: Math.hypot(DB / Math.sqrt(floor.looks), floor.sigmaDb),
      floorDb,
      overFloorDb: 10 * Math.log10(ratio[peak]!),
    };
  }

  const reach = Math.max(1, Math.round((1.3 * lineWidthHz) / spacingHz));
  // beyond a saddle the level rises again; beyond the end of a stretch it falls into the floor
  const leftEnd = crowded && first > 0 && ratio[first - 1]! > ratio[first]! ? first : 0;
  const rightEnd = crowded && last < n - 1 && ratio[last + 1]! > ratio[last]! ? last : n - 1;
  const fit =
    sparse || peak === 0 || peak === n - 1
      ? null
      : fitLine(frequencyHz, ratio, Math.max(0, peak - reach, leftEnd), Math.min(n - 1, peak + reach, rightEnd), peak, {
          widthHz: lineWidthHz,
          shape: filter.shape,
          doubt: filter.doubt,
          variance: law.variance,
          rounding,
          correlation: frame.correlation,
          boundHz: 1.1 * spacingHz,
        });
  if (fit === null) {
    const signal = Math.max(ratio[peak]! - 1, 1e-3);
    return {
      ...common,
      shape: 'line',
      frequencyHz: frequencyHz[peak]!,
      // an even error over one spacing: not interpolated
      frequencySigmaHz: Math.max(spacingHz / Math.sqrt(12), 0.1 * lineWidthHz),
      levelDb: floorDb + 10 * Math.log10(signal) + (sparse ? frame.lossBetweenPoints.meanDb : 0),
      levelSigmaDb: Math.hypot(
        (DB * Math.sqrt(law.variance(signal))) / signal,
        floor.sigmaDb / signal,
        sparse ? frame.lossBetweenPoints.sigmaDb : 0,
      ),
      floorDb,
      overFloorDb: 10 * Math.log10(ratio[peak]!),
    };
  }
  if (!frame.widthKnown) {
    // nothing shows the filter's shape: the peak point itself is the best level, low by what the spacing can hide
    const signal = Math.max(ratio[peak]! - 1, 1e-3);
    const hidden = -10 * Math.log10(filterResponse(spacingHz / 2, lineWidthHz, filter.shape));
    return {
      ...common,
      shape: 'line',
      frequencyHz: fit.frequencyHz,
      frequencySigmaHz: Math.max(fit.frequencySigmaHz, 0.1 * spacingHz),
      levelDb: floorDb + 10 * Math.log10(signal),
      levelSigmaDb: Math.hypot((DB * fit.signalSigma) / Math.max(fit.signal, signal), floor.sigmaDb / signal, hidden),
      floorDb,
      overFloorDb: 10 * Math.log10(ratio[peak]!),
    };
  }
  return {
    ...common,
    shape: 'line',
    frequencyHz: fit.frequencyHz,
    frequencySigmaHz: Math.hypot(
      // of the lines that shift a level, those right under it do not lean its peak
      (1 + LEANING_SHARE * (crowding.unseenWidening - 1)) * fit.frequencySigmaHz,
      crowding.frequencySigmaHz,
      SHAPE_SIGMA_WIDTHS * filter.doubt * lineWidthHz,
      1e-6 * frame.instabilityPpm * (law.held ? HELD_INSTABILITY : 1) * fit.frequencyHz,
    ),
    levelDb: floorDb + 10 * Math.log10(fit.signal),
    levelSigmaDb: Math.hypot(
      (crowding.unseenWidening * DB * fit.signalSigma) / fit.signal,
      floor.sigmaDb / fit.signal,
      law.meanDoubtDb / Math.sqrt(fit.signal),
      crowding.levelSigmaDb,
      law.held ? HELD_LEVEL_SIGMA_DB : 0,
    ),
    floorDb,
    overFloorDb: 10 * Math.log10(Math.max(ratio[peak]!, 1 + fit.signal)),
  };
}
