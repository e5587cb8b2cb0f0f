import type { CaptureSettings } from '../../model/capture.ts';
import type { Floor, NoiseStatistic } from '../../model/floor.ts';
import { signalForDetection } from '../numeric/noncentral-gamma.ts';
import { largestExponential } from '../numeric/largest-of-many.ts';
import { normalTailInverse } from '../numeric/normal.ts';
import type { Spread } from './mask-lines.ts';
import {
  DB_PER_NEPER,
  heldPairQuantileDb,
  heldSpreadDb,
  looksFromLowerSpread,
  maxHoldQuantileDb,
  medianOverMeanDb,
  spreadDb,
  sweepsFromSpread,
  upperSpreadDb,
  thresholdOverMeanDb,
} from './noise-statistics.ts';
import { settleFloor } from './settle-floor.ts';

export interface FloorInput {
  /** Ascending. */
  readonly frequencyHz: Float64Array;
  /** Decibels; NaN where blank; −Infinity where a linear level was zero. */
  readonly levelDb: Float64Array;
  readonly settings: CaptureSettings;
  readonly falseAlarmsPerCapture: number;
  /** Odd, or null to choose. */
  readonly floorWindowPoints: number | null;
}

/** Linear-voltage averaging of noise reads low by 20·log10(√π/2) (exact mean of a Rayleigh amplitude). */
const VOLTAGE_AVERAGE_BIAS_DB = -1.0491;
/** Averaging decibels of single looks reads low by 10·γ/ln 10 (exact). */
const LOG_AVERAGE_BIAS_DB = -2.5068;
/** Standard deviation of decibels of one look, 4.3429·π/√6. */
const ONE_LOOK_SPREAD_DB = 5.57;

/** Where more than this share of the points is set aside, lines too weak to be seen widen the scatter of the rest. A choice of this tool. */
const CROWDED_SHARE = 0.25;
/** … by up to this factor, before the stated sweeps are no longer believed. A choice of this tool. */
const WIDENED_BY_LINES = 1.25;

/**
 * The noise floor of a trace and the threshold over it.
 *
 * 1. Running median in dB; points well above it and their neighbours are set aside; again, four times; from below where lines crowd (see
 * settleFloor). 2. The spread of what is
 * left, from its lower side, which no line reaches. 3. From the median to the mean noise power by the statistics of the averages.
 * 4. The threshold that noise alone exceeds `falseAlarmsPerCapture` times in the whole trace, half of the right given to single
 * points and half to pairs of neighbours (a line between two points shows in both).
 *
 * The chi-square statistics of K averages are used where the capture states power averaging of K sweeps and the trace scatters
 * accordingly; in all other cases the trace's own spread decides, and `why` says so.
 *
 * Edges: fewer than 8 finite points give a floor of their median with a warning; blank points get the floor of their neighbours.
 */
export function estimateFloor(input: FloorInput): Floor {
  const { frequencyHz, settings } = input;
  const n = input.levelDb.length;
  const warnings: string[] = [];
  const rbwPoints = pointsPerBandwidth(frequencyHz, settings.rbwHz);
  const windowPoints = input.floorWindowPoints ?? defaultWindow(n, rbwPoints);

  const blank = input.levelDb.reduce((marks, level, i) => {
    if (Number.isNaN(level)) marks[i] = 1;
    return marks;
  }, new Uint8Array(n));
  const finite = n - blank.reduce((a, b) => a + b, 0);
  if (finite < 8) warnings.push(`Only ${finite} points have a level: the floor is a guess.`);

  const { medianDb, masked, spread } = settleFloor(
    { levelDb: input.levelDb, blank, windowPoints, rbwPoints },
    explainedSpreadDb(settings),
  );
  const correlation = neighbourCorrelation(input.levelDb, medianDb, masked);
  warnings.push(...coverWarnings(frequencyHz, masked, blank, windowPoints));

  const p = Math.min(0.01, input.falseAlarmsPerCapture / Math.max(1, finite) / 2);
  const set = masked.reduce((a, b) => a + b, 0) - (n - finite);
  const noise = describeNoise(settings, spread, p, correlation, Math.max(1, finite), set > CROWDED_SHARE * finite);
  warnings.push(...noise.warnings);

  const meanDb = medianDb.map((m) => m - noise.medianOverMeanDb);
  const thresholdDb = meanDb.map((m) => m + noise.thresholdOverMeanDb);
  const independent = Math.max(1, windowPoints / Math.max(1, correlation > 0.05 ? 1 + 2 * correlation : 1));
  const weakest = signalForDetection(noise.looks, 10 ** (noise.thresholdOverMeanDb / 10), 0.95);
  return {
    meanDb,
    // a median of independent values scatters 1.2533 times as much as their mean (Gaussian limit)
    sigmaDb: (1.2533 * spread.lowerDb) / Math.sqrt(Math.min(independent, Math.max(1, finite))),
    thresholdDb,
    pairThresholdOverFloorDb: noise.pairThresholdOverMeanDb,
    medianOverMeanDb: noise.medianOverMeanDb,
    looks: noise.looks,
    neighbourCorrelation: correlation,
    statistic: noise.statistic,
    averages: noise.statistic === 'chi-square' ? noise.looks : null,
    pointSpreadDb: noise.spreadDb,
    windowPoints,
    falseAlarmProbability: 2 * p,
    falseAlarmsExpected: 2 * p * finite,
    weakestDetectableOverFloorDb: 10 * Math.log10(weakest),
    why: noise.why,
    warnings,
  };
}

/** The most that noise scatters, in dB, by the stated averages (the largest of several looks scatters less); null where they do not say. */
function explainedSpreadDb({ averages, averaging, detector }: CaptureSettings): number | null {
  if (detector === 'negative-peak' || detector === 'quasi-peak') return null;
  if (averaging === 'none') return spreadDb(1);
  if (averages === null || averages < 1) return null;
  if (averaging === 'power') return spreadDb(averages);
  return averaging === 'log' ? ONE_LOOK_SPREAD_DB / Math.sqrt(averages) : null;
}

export function pointsPerBandwidth(frequencyHz: Float64Array, rbwHz: number | null): number {
  const n = frequencyHz.length;
  if (rbwHz === null || n < 2) return 1;
  return Math.max(1, (rbwHz * (n - 1)) / (frequencyHz[n - 1]! - frequencyHz[0]!));
}

/**
 * 151 points (a sixteenth of a short trace, but 101 at least: a narrower window follows the noise itself), or 40 resolution bandwidths where that is more: a window must hold far
 * more noise than one line. Never more than a quarter of the trace. A choice of this tool: 151 independent points of 16
 * averages give the floor to 0.11 dB, and follow a ripple of a hundredth of the span in ten thousand points.
 */
function defaultWindow(n: number, rbwPoints: number): number {
  const wanted = Math.max(Math.min(151, Math.max(101, Math.floor(n / 16))), Math.round(40 * rbwPoints));
  const width = Math.max(3, Math.min(wanted, Math.floor(n / 4)));
  return width % 2 === 1 ? width : width - 1;
}

function neighbourCorrelation(levelDb: Float64Array, medianDb: Float64Array, masked: Uint8Array): number {
  let product = 0;
  let square = 0;
  let pairs = 0;
  for (let i = 1; i < levelDb.length; i++) {
    if (masked[i] === 1 || masked[i - 1] === 1) continue;
    const a = levelDb[i - 1]! - medianDb[i - 1]!;
    const b = levelDb[i]! - medianDb[i]!;
    if (!Number.isFinite(a) || !Number.isFinite(b)) continue;
    product += a * b;
    square += (a * a + b * b) / 2;
    pairs++;
  }
  return pairs < 30 || square === 0 ? 0 : Math.max(0, Math.min(0.99, product / square));
}

interface NoiseDescription {
  readonly statistic: NoiseStatistic;
  readonly looks: number;
  readonly spreadDb: number;
  readonly medianOverMeanDb: number;
  readonly thresholdOverMeanDb: number;
  readonly pairThresholdOverMeanDb: number;
  readonly why: string;
  readonly warnings: readonly string[];
}

function describeNoise(
  settings: CaptureSettings,
  spread: Spread,
  p: number,
  correlation: number,
  points: number,
  crowded: boolean,
): NoiseDescription {
  const { averages, averaging, detector } = settings;
  const warnings: string[] = [];
  const peaked = detector === 'positive-peak' || detector === 'quasi-peak' || detector === 'normal';
  const odd = peaked || detector === 'negative-peak' || averaging === 'max-hold' || averaging === 'min-hold';
  const stated = averaging === 'none' ? 1 : averaging === 'power' ? averages : null;
  const observed = Math.max(spread.lowerDb, 1e-3);
  const fittedLooks = looksFromLowerSpread(observed);
  const pairLooks = (looks: number): number => (2 * looks) / (1 + correlation);

  if (stated !== null && stated >= 1 && !odd) {
    const expected = spreadDb(stated);
    const tooWide = fittedLooks < stated / 1.35;
    if (tooWide)
      warnings.push(
        `The noise scatters by ${spreadDb(fittedLooks).toFixed(2)} dB where ${stated} averages would give ${expected.toFixed(2)} dB: the threshold follows the trace's own scatter.`,
      );
    else {
      if (fittedLooks > 2.5 * stated)
        warnings.push(
          `The noise scatters less (${spreadDb(fittedLooks).toFixed(2)} dB) than ${stated} averages explain (${expected.toFixed(2)} dB): smoothed, or averaged more than stated. The higher threshold is kept.`,
        );
      return {
        statistic: 'chi-square',
        looks: stated,
        spreadDb: expected,
        medianOverMeanDb: medianOverMeanDb(stated),
        thresholdOverMeanDb: thresholdOverMeanDb(stated, p),
        pairThresholdOverMeanDb: thresholdOverMeanDb(pairLooks(stated), p),
        why: `Chi-square statistics of ${stated} power average${stated === 1 ? '' : 's'}.`,
        warnings,
      };
    }
  }

  const cause =
    stated !== null && !odd
      ? 'the trace scatters more than its averages explain'
      : odd
        ? `${averaging === 'max-hold' || averaging === 'min-hold' ? averaging : detector} levels do not follow chi-square`
        : averaging === 'log' || averaging === 'voltage'
          ? `${averaging} averaging does not follow chi-square`
          : averages === null
            ? 'the number of averages is unknown'
            : 'how the sweeps were averaged is unknown';
  const why = `The trace's own robust spread (${observed.toFixed(2)} dB below the median), since ${cause}.`;
  const upper = Math.min(Math.max(spread.upperDb, observed), 1.8 * observed);
  const z = normalTailInverse(p);

  if (averaging === 'max-hold' || (peaked && (averages === null || averages <= 1))) {
    const sweeps = sweepsFromSpread(observed + upper);
    // a stated number of sweeps that the scatter bears out gives the tail; else the wider of fitted tail and Gaussian
    const isBorneOut = (stated: number): boolean =>
      sweeps > stated / 1.5 || (crowded && observed + upper < WIDENED_BY_LINES * heldSpreadDb(stated));
    const known =
      averaging === 'max-hold' && averages !== null && averages >= 2 && !peaked && isBorneOut(averages)
        ? averages
        : null;
    const tail = maxHoldQuantileDb(known ?? sweeps, p) - maxHoldQuantileDb(known ?? sweeps, 0.5);
    const over = known === null ? Math.max(tail, z * upper) : 1.03 * tail;
    const pairOver =
      over - tail + heldPairQuantileDb(known ?? sweeps, correlation, p) - maxHoldQuantileDb(known ?? sweeps, 0.5);
    const biasSweeps = averaging === 'max-hold' && averages !== null && averages >= 1 ? averages : sweeps;
    const bias = maxHoldQuantileDb(biasSweeps, 0.5);
    warnings.push(
      `Held or peak-detected noise reads above its mean power; the mean is taken ${bias.toFixed(1)} dB below the trace (as for ${Math.round(biasSweeps)} looks), which is no better than 1 dB.`,
    );
    return {
      statistic: 'robust-spread',
      looks: Math.max(1, fittedLooks),
      spreadDb: (observed + upper) / 2,
      medianOverMeanDb: bias,
      thresholdOverMeanDb: over + bias,
      pairThresholdOverMeanDb: Math.min(over, pairOver) + bias,
      why,
      warnings,
    };
  }

  // a spread from n points is itself only known to about 1.3/√n: two standard deviations of that are allowed for
  // the tail of the fitted looks, stretched where the trace's upper side is wider than theirs (held or uneven noise)
  const stretch = Math.min(
    2.2,
    Math.max(1.03, 1 + 2.6 / Math.sqrt(points), (upper / upperSpreadDb(fittedLooks)) ** 1.2),
  );
  const over = stretch * (thresholdOverMeanDb(fittedLooks, p) - medianOverMeanDb(fittedLooks));
  const pairOver = stretch * (thresholdOverMeanDb(pairLooks(fittedLooks), p) - medianOverMeanDb(fittedLooks));
  const kept =
    detector === 'positive-peak' && averages !== null ? peakBias(averaging, averages, observed, fittedLooks) : null;
  if (kept !== null)
    warnings.push(
      `Peak-detected noise reads above its mean power: the mean is taken ${kept.biasDb.toFixed(1)} dB from the trace, as for the largest of ${kept.looks.toFixed(1)} looks a point, which is what its scatter shows after ${averages} averages; this is no better than 1 dB.`,
    );
  else if (peaked)
    warnings.push(
      'Peak-detected noise reads above its mean power by a few dB that this trace cannot tell: the floor is the trace’s own, and heights over it are that much too small.',
    );
  const bias =
    kept !== null
      ? kept.biasDb
      : averaging === 'log'
        ? LOG_AVERAGE_BIAS_DB * logBiasShare(fittedLooks)
        : averaging === 'voltage'
          ? VOLTAGE_AVERAGE_BIAS_DB
          : peaked
            ? 0
            : medianOverMeanDb(fittedLooks);
  return {
    statistic: 'robust-spread',
    looks: fittedLooks,
    spreadDb: observed,
    medianOverMeanDb: bias,
    thresholdOverMeanDb: over + bias,
    pairThresholdOverMeanDb: Math.max(pairOver + bias, 0.05),
    why,
    warnings,
  };
}

/** More looks a point than this cannot be told from video filtering or averaging beyond what is stated. A choice of this tool. */
const MOST_PEAK_LOOKS = 10;

/**
 * How far averaged peak-detected noise stands over its mean power. The number of looks a point keeps the largest of shows in the
 * scatter that is left after a known number of averages.
 *
 * @returns null where the averaging is not of powers or decibels, or the scatter asks for more looks than can be believed
 */
function peakBias(
  averaging: CaptureSettings['averaging'],
  averages: number,
  observedDb: number,
  fittedLooks: number,
): { biasDb: number; looks: number } | null {
  if (averages < 2 || (averaging !== 'power' && averaging !== 'log')) return null;
  const isLog = averaging === 'log';
  // scatter of one averaged point relative to its mean power, or in nepers
  const scatter = (looks: number): number => {
    const one = largestExponential(looks);
    return (isLog ? one.sdLog : one.sd / one.mean) / Math.sqrt(averages);
  };
  const observed = isLog ? observedDb / DB_PER_NEPER : 1 / Math.sqrt(fittedLooks);
  if (observed < scatter(MOST_PEAK_LOOKS)) return null;
  let low = 0;
  let high = Math.log(MOST_PEAK_LOOKS);
  for (let i = 0; i < 20; i++) {
    const middle = (low + high) / 2;
    if (scatter(Math.exp(middle)) > observed) low = middle;
    else high = middle;
  }
  const looks = Math.exp((low + high) / 2);
  const one = largestExponential(looks);
  return { looks, biasDb: isLog ? DB_PER_NEPER * one.meanLog : 10 * Math.log10(one.mean) };
}

/** The median of a few averaged decibels lies above their mean: one look −1.59 dB, many −2.51 dB over the mean power. */
function logBiasShare(fittedLooks: number): number {
  const averages = Math.max(1, (ONE_LOOK_SPREAD_DB / spreadDb(fittedLooks)) ** 2);
  return 1 - (1 - 1.5917 / 2.5068) / averages;
}

/** Says where so much is set aside that no floor can be known. */
function coverWarnings(frequencyHz: Float64Array, masked: Uint8Array, blank: Uint8Array, window: number): string[] {
  const warnings: string[] = [];
  let from = -1;
  for (let i = 0; i <= masked.length; i++) {
    const inside = i < masked.length && masked[i] === 1 && blank[i] === 0;
    if (inside && from < 0) from = i;
    if (!inside && from >= 0) {
      if (i - from > window)
        warnings.push(
          `No floor can be known from ${(frequencyHz[from]! / 1e6).toFixed(3)} to ${(frequencyHz[i - 1]! / 1e6).toFixed(3)} MHz: everything there stands above its surroundings.`,
        );
      from = -1;
    }
  }
  return warnings;
}
