import type { CaptureSettings } from '../../model/capture.ts';
import type { Floor } from '../../model/floor.ts';
import type { Spur } from '../../model/spur.ts';
import { filterResponse, fitLine, type FilterShape } from './line-shape.ts';
import { lineLaw, type LineLaw } from './line-law.ts';
import { pickPeaks, type Peak } from './pick-peaks.ts';

export interface SpurInput {
  /** Ascending. */
  readonly frequencyHz: Float64Array;
  readonly levelDb: Float64Array;
  readonly floor: Floor;
  readonly settings: CaptureSettings;
  /** Common error of the frequency axis. It shifts all lines alike and is not part of a spur's own uncertainty. */
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
  readonly warnings: string[];
}

const DB = 10 / Math.LN10;

/** What the unknown details of a filter's shape do to a fitted centre, in line widths. Found on simulated filters. */
const SHAPE_SIGMA_WIDTHS = 0.004;

/** A stretch wider than this many line widths at half power is not one steady line. A choice of this tool. */
const HUMP_WIDTHS = 2.2;

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
  const peaks = pickPeaks(ratio, detected, law.variance, keepAbove);
  // how deep noise-like power dents by itself: three standard deviations of a difference, 6 dB at the most
  const dent = 10 ** (-Math.min(6, 3 * Math.SQRT2 * spreadOf(floor.looks)) / 10);
  const merged = joinHumps(peaks, ratio, settings.rbwHz ?? 2 * spacingHz, frequencyHz, dent);

  const measured = measureLineWidth(frequencyHz, ratio, merged);
  const stated = settings.rbwHz === null ? null : settings.rbwHz * (settings.rbwShape === '6 dB' ? Math.SQRT1_2 : 1);
  const gaussianHz = sparse ? Math.max(stated!, spacingHz) : (measured ?? stated ?? 2 * spacingHz);
  // the curvature at the top tells the width of a Gaussian only; for the other shape the stated bandwidth is better
  const widths = { gaussian: gaussianHz, 'four-pole': stated ?? gaussianHz };
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

  const filter = sparse ? 'gaussian' : likelierFilter(frequencyHz, ratio, merged, widths, spacingHz, law.variance);
  const lineWidthHz = widths[filter];
  const ownWidth = settings.rbwHz === null && measured === null;
  const rounding = (Math.LN10 / 10) * (roundingStepDb(levelDb) / Math.sqrt(12));
  const described = merged.map((peak) => {
    const widthHz = ownWidth ? (curvatureWidth(frequencyHz, ratio, peak.peak) ?? lineWidthHz) : lineWidthHz;
    return describe(peak, input, ratio, spacingHz, widthHz, sparse, ownWidth, filter, law, rounding);
  });
  const waves = described.filter((spur) => isWaveOfFloor(spur, floor.windowPoints * spacingHz));
  if (waves.length > 0)
    warnings.push(
      `The floor waves faster than its window follows at ${waves.map((spur) => `${(spur.frequencyHz / 1e6).toFixed(3)} MHz`).join(', ')} (up to ${Math.max(...waves.map((spur) => spur.overFloorDb)).toFixed(1)} dB); this is not counted as a spur.`,
    );
  const spurs = described.filter((spur) => !waves.includes(spur));
  return { spurs, sparse, spacingHz, lineWidthHz, warnings };
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
 * Which of the two filter shapes the trace's own clear lines fit better: the smaller median misfit over up to 40 of them, and
 * Gaussian where fewer than five can tell or the difference is slight.
 */
function likelierFilter(
  frequencyHz: Float64Array,
  ratio: Float64Array,
  peaks: readonly Peak[],
  widths: Readonly<Record<FilterShape, number>>,
  spacingHz: number,
  variance: LineLaw['variance'],
): FilterShape {
  const reach = Math.max(2, Math.round((1.1 * widths.gaussian) / spacingHz));
  const clear = peaks
    .filter(({ peak, crowded }) => !crowded && ratio[peak]! > 300 && peak >= reach && peak < ratio.length - reach)
    .slice(0, 40);
  const misfit = (shape: FilterShape): number => {
    const values = clear.flatMap(({ peak }) => {
      const fit = fitLine(frequencyHz, ratio, peak - reach, peak + reach, peak, {
        widthHz: widths[shape],
        shape,
        variance,
        rounding: 0,
        correlation: 0,
        boundHz: 1.1 * spacingHz,
      });
      return fit === null ? [] : [fit.misfit];
    });
    return values.length < 5 ? NaN : values.sort((a, b) => a - b)[values.length >> 1]!;
  };
  return misfit('four-pole') < 0.7 * misfit('gaussian') ? 'four-pole' : 'gaussian';
}

/** A low swell nearly as wide as the window that made the floor is the floor's own shape, not something standing on it. */
function isWaveOfFloor(spur: Spur, windowHz: number): boolean {
  return spur.shape === 'hump' && spur.widthHz > windowHz / 4 && spur.overFloorDb < 3;
}

/** Half-power width of a Gaussian through a peak and its two neighbours; null where they do not curve downwards. */
function curvatureWidth(frequencyHz: Float64Array, ratio: Float64Array, peak: number): number | null {
  if (peak === 0 || peak === ratio.length - 1) return null;
  const [a, b, c] = [ratio[peak - 1]! - 1, ratio[peak]! - 1, ratio[peak + 1]! - 1];
  if (a <= 1 || c <= 1) return null;
  const second = 10 * Math.log10((a * c) / (b * b));
  const step = (frequencyHz[peak + 1]! - frequencyHz[peak - 1]!) / 2;
  return second < 0 ? step * Math.sqrt((2 * 10 * Math.log10(16)) / -second) : null;
}

/**
 * Half-power width of an unresolved line, from the curvature of strong single peaks: for a Gaussian, in dB, the second
 * difference of three neighbouring points is −24.08·(spacing/width)². Median of at least five; null where there are fewer.
 */
function measureLineWidth(frequencyHz: Float64Array, ratio: Float64Array, peaks: readonly Peak[]): number | null {
  const widths: number[] = [];
  for (const { peak, crowded } of peaks) {
    if (crowded || peak === 0 || peak === ratio.length - 1 || ratio[peak]! < 100) continue;
    const width = curvatureWidth(frequencyHz, ratio, peak);
    if (width !== null) widths.push(width);
  }
  if (widths.length < 5) return null;
  widths.sort((x, y) => x - y);
  return widths[Math.floor(widths.length / 2)]!;
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

/**
 * Peaks side by side, closer than lines can well be told apart, alike in height and parted by dents no deeper than noise makes,
 * are one hump with a rough top.
 */
function joinHumps(
  peaks: readonly Peak[],
  ratio: Float64Array,
  rbwHz: number,
  frequencyHz: Float64Array,
  dent: number,
): Peak[] {
  const out: Peak[] = [];
  let group: Peak[] = [];
  const flush = (): void => {
    if (group.length >= 3) {
      const peak = group.reduce((a, b) => (ratio[b.peak]! > ratio[a.peak]! ? b : a)).peak;
      out.push({ peak, first: group[0]!.first, last: group[group.length - 1]!.last, crowded: false });
    } else out.push(...group);
    group = [];
  };
  for (const peak of peaks) {
    const previous = group[group.length - 1];
    if (previous !== undefined) {
      const apart = frequencyHz[peak.peak]! - frequencyHz[previous.peak]!;
      const saddle = Math.min(ratio[peak.first]!, ratio[previous.last]!);
      const lesser = Math.min(ratio[peak.peak]!, ratio[previous.peak]!);
      const greater = Math.max(ratio[peak.peak]!, ratio[previous.peak]!);
      const shallow = saddle > lesser * dent && saddle > 2 && lesser > 0.2 * greater;
      if (!(peak.first <= previous.last + 1 && apart < 3 * rbwHz && shallow)) flush();
    }
    group.push(peak);
  }
  flush();
  return out;
}

function describe(
  { peak, first, last, crowded }: Peak,
  input: SpurInput,
  ratio: Float64Array,
  spacingHz: number,
  lineWidthHz: number,
  sparse: boolean,
  shapeUnknown: boolean,
  filter: FilterShape,
  law: LineLaw,
  rounding: number,
): Spur {
  const { frequencyHz, floor } = input;
  const n = ratio.length;
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
  const fit =
    sparse || peak === 0 || peak === n - 1
      ? null
      : fitLine(
          frequencyHz,
          ratio,
          Math.max(0, crowded ? Math.max(first, peak - reach) : peak - reach),
          Math.min(n - 1, crowded ? Math.min(last, peak + reach) : peak + reach),
          peak,
          {
            widthHz: lineWidthHz,
            shape: filter,
            variance: law.variance,
            rounding,
            correlation: floor.neighbourCorrelation,
            boundHz: 1.1 * spacingHz,
          },
        );
  if (fit === null) {
    const signal = Math.max(ratio[peak]! - 1, 1e-3);
    return {
      ...common,
      shape: 'line',
      frequencyHz: frequencyHz[peak]!,
      // a uniform error of one spacing: not interpolated
      frequencySigmaHz: Math.max(spacingHz / Math.sqrt(12), 0.1 * lineWidthHz),
      levelDb: floorDb + 10 * Math.log10(signal),
      levelSigmaDb: Math.hypot((DB * Math.sqrt(law.variance(signal))) / signal, floor.sigmaDb / signal, sparse ? 3 : 0),
      floorDb,
      overFloorDb: 10 * Math.log10(ratio[peak]!),
    };
  }
  if (shapeUnknown) {
    // nothing shows the filter's shape: the peak point itself is the best level, low by what the spacing can hide
    const signal = Math.max(ratio[peak]! - 1, 1e-3);
    const hidden = -10 * Math.log10(filterResponse(spacingHz / 2, lineWidthHz, filter));
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
  // a neighbour's skirt shifts a line by more than noise does
  const crowding = crowded ? 0.05 * lineWidthHz : 0;
  return {
    ...common,
    shape: 'line',
    frequencyHz: fit.frequencyHz,
    frequencySigmaHz: Math.hypot(fit.frequencySigmaHz, crowding, SHAPE_SIGMA_WIDTHS * lineWidthHz),
    levelDb: floorDb + 10 * Math.log10(fit.signal),
    levelSigmaDb: Math.hypot((DB * fit.signalSigma) / fit.signal, floor.sigmaDb / fit.signal, crowded ? 0.5 : 0),
    floorDb,
    overFloorDb: 10 * Math.log10(Math.max(ratio[peak]!, 1 + fit.signal)),
  };
}
