import type { ComputedLine } from '../../model/capture.ts';
import type { SpectrumSettings } from '../../model/spectrum-settings.ts';
import { effectiveAverages } from './effective-averages.ts';
import { windowCoefficients, windowFigures, windowWeights } from './windows.ts';

/** How a stretch of record is cut, and what spectrum follows of it. */
export interface SegmentPlan {
  /** Samples under one window. */
  readonly windowPoints: number;
  /** Length of the transform: the next power of two; the rest is filled with zeros, so bins lie closer than the window resolves. */
  readonly transformPoints: number;
  /** Samples from the start of one segment to that of the next. */
  readonly stepPoints: number;
  readonly segments: number;
  /** What the segments are worth as independent averages. */
  readonly effectiveAverages: number;
  /** Noise bandwidth, ENBW × sampling rate / windowPoints. */
  readonly rbwHz: number;
  /** From one bin to the next. */
  readonly spacingHz: number;
  readonly enbwBins: number;
  /** The shape of a line. */
  readonly line: ComputedLine;
  /** Samples that are used, from the first of the first segment to the last of the last. */
  readonly samplesUsed: number;
}

/** Why no spectrum can be had as asked. */
export interface TooShort {
  readonly found: string;
  readonly expected: string;
  readonly wayOut: string;
}

/**
 * Averages that are aimed at where no RBW is asked for: with 64 the floor of one bin scatters by 0.5 dB. A short record is better
 * resolved than smoothed: from 256 samples on both grow as the root of its length. Choices of this tool.
 */
const MOST_AIMED_AVERAGES = 64;
const LEAST_AIMED_AVERAGES = 8;
/** Longest window chosen by the tool itself; the user may ask for more. A choice of this tool: memory and the plot stay quick. */
const LONGEST_CHOSEN = 2 ** 18;
/** Fewer samples than this under a window resolve nothing. A choice of this tool. */
export const SHORTEST_WINDOW = 16;
/** Longest window at all: 2²⁴ complex doubles take 256 MB a copy. */
export const LONGEST_WINDOW = 2 ** 22;

/**
 * The segments that give a wanted noise bandwidth.
 *
 * RBW = ENBW·fs/N, so N = ENBW·fs/RBW, rounded. Without a wish: the largest power of two that leaves 64 averages, fewer of a record
 * of less than a million samples.
 *
 * @param samples samples of the stretch, at least 1; @param sampleRateHz above 0
 * @returns the plan, or what is missing where the stretch is shorter than one window, or the window longer than can be computed
 */
export function planSegments(
  samples: number,
  sampleRateHz: number,
  { window, rbwHz, overlap }: Pick<SpectrumSettings, 'window' | 'rbwHz' | 'overlap'>,
): SegmentPlan | TooShort {
  const { enbwBins } = windowFigures(windowWeights(window, 4096));
  const windowPoints =
    rbwHz === null ? chosenPoints(samples, overlap) : Math.max(1, Math.round((enbwBins * sampleRateHz) / rbwHz));
  const widestHz = (enbwBins * sampleRateHz) / SHORTEST_WINDOW;
  const finestHz = (enbwBins * sampleRateHz) / Math.min(samples, LONGEST_WINDOW);

  if (samples < SHORTEST_WINDOW)
    return {
      found: `${samples} samples`,
      expected: `at least ${SHORTEST_WINDOW} samples`,
      wayOut: 'Use a longer stretch of the record.',
    };
  if (windowPoints < SHORTEST_WINDOW)
    return {
      found: `an RBW of ${figure(rbwHz!)} Hz, which is a window of ${windowPoints} samples`,
      expected: `an RBW of ${figure(widestHz)} Hz or finer`,
      wayOut: 'Ask for a finer RBW.',
    };
  if (windowPoints > LONGEST_WINDOW)
    return {
      found: `an RBW of ${figure(rbwHz!)} Hz, which is a window of ${windowPoints} samples`,
      expected: `at most ${LONGEST_WINDOW} samples a window: an RBW of ${figure((enbwBins * sampleRateHz) / LONGEST_WINDOW)} Hz or wider`,
      wayOut: 'Ask for a wider RBW, or reduce the sampling rate of the record first.',
    };
  if (windowPoints > samples)
    return {
      found: `${figure(samples / sampleRateHz)} s of record`,
      expected: `at least ${figure(windowPoints / sampleRateHz)} s to resolve ${figure(rbwHz!)} Hz with this window`,
      wayOut: `Ask for an RBW of ${figure(finestHz, 'up')} Hz or wider, or record longer.`,
    };

  const stepPoints = Math.max(1, Math.round(windowPoints * (1 - overlap)));
  const segments = Math.floor((samples - windowPoints) / stepPoints) + 1;
  const transformPoints = 2 ** Math.ceil(Math.log2(windowPoints));
  const weights = windowWeights(window, windowPoints);
  // beyond some thousand samples the figures no longer change
  const own = windowFigures(weights.length > 4096 ? windowWeights(window, 4096) : weights);
  return {
    windowPoints,
    transformPoints,
    stepPoints,
    segments,
    effectiveAverages: effectiveAverages(weights, segments, stepPoints),
    rbwHz: (own.enbwBins * sampleRateHz) / windowPoints,
    spacingHz: sampleRateHz / transformPoints,
    enbwBins: own.enbwBins,
    line: {
      coefficients: windowCoefficients(window),
      halfPowerBins: own.halfPowerBins,
      widthHz: (own.halfPowerBins * sampleRateHz) / windowPoints,
    },
    samplesUsed: windowPoints + (segments - 1) * stepPoints,
  };
}

export function isTooShort(plan: SegmentPlan | TooShort): plan is TooShort {
  return 'wayOut' in plan;
}

function chosenPoints(samples: number, overlap: number): number {
  let points = LONGEST_CHOSEN;
  const aimed = Math.min(MOST_AIMED_AVERAGES, Math.max(LEAST_AIMED_AVERAGES, Math.sqrt(samples / 256)));
  const segmentsOf = (length: number): number => (samples - length) / (length * (1 - overlap)) + 1;
  while (points > SHORTEST_WINDOW && segmentsOf(points) < aimed) points /= 2;
  // a short record is better resolved with few averages than not at all
  const least = Math.min(256, 2 ** Math.floor(Math.log2(Math.max(1, samples))));
  return Math.max(points, least, SHORTEST_WINDOW);
}

/** Four digits; `up`: never below the value, so that what is advised is enough. */
function figure(value: number, towards: 'nearest' | 'up' = 'nearest'): string {
  const near = Number(value.toPrecision(4));
  const step = 10 ** (Math.floor(Math.log10(near)) - 3);
  return String(towards === 'up' && near < value * (1 - 1e-6) ? Number((near + step).toPrecision(4)) : near);
}
