import type { CaptureSettings } from '../../model/capture.ts';
import type { Floor } from '../../model/floor.ts';
import { exponentialIntegral } from '../numeric/exponential-integral.ts';
import { largestExponential } from '../numeric/largest-of-many.ts';
import { noncentralChiSquareCdf } from '../numeric/noncentral-chi-square.ts';

/**
 * In which quantity points are averaged over harmonics, and what a steady line does to its mean.
 *
 * Points are stacked as the sweeps were: powers where powers were averaged, nepers where decibels were, so that the mean over
 * harmonics obeys the same law as the mean over sweeps.
 */
export interface StackLaw {
  readonly scale: 'power' | 'nepers' | 'amplitude';
  /** The stacked quantity of a point that stands so many dB over the mean noise power. */
  readonly valueOf: (overMeanDb: number) => number;
  /**
   * Its mean in noise alone where it scales with the noise power: local means are brought to this, which frees them of the floor's own
   * error. null where it adds, and a difference is free of that error anyway.
   */
  readonly base: number | null;
  /** Rise of its mean by a line of power `signal` (noise power 1); 0 without a line, rising. */
  readonly rise: (signal: number) => number;
  /** The line power that makes a rise; 0 for no rise. */
  readonly signalOf: (rise: number) => number;
  /** True where the rise is the power itself, so that lines of unequal height average exactly. */
  readonly isLinear: boolean;
}

const DB = 10 / Math.LN10;
const EULER = 0.5772156649015329;
/** Noise that reads this much above its mean power was held or peak-detected, in dB. As the line law takes it. */
const HELD_DB = 0.3;

/** @returns null where minima were kept: these prove nothing of a line */
export function stackLaw(settings: CaptureSettings, floor: Floor): StackLaw | null {
  const { averaging, detector, averages } = settings;
  if (averaging === 'min-hold' || detector === 'negative-peak') return null;
  const isHeld = floor.medianOverMeanDb > HELD_DB;
  if (averaging === 'log') {
    const held = isHeld ? looksWhere((m) => DB * largestExponential(m).meanLog, floor.medianOverMeanDb) : 1;
    return held > 1 ? heldLaw('nepers', held) : LOG_LAW;
  }
  if (averaging === 'voltage') return heldLaw('amplitude', 1);
  if (isHeld) {
    if (averaging === 'power' && (averages ?? 1) > 1)
      return heldLaw(
        'power',
        looksWhere((m) => 10 * Math.log10(largestExponential(m).mean), floor.medianOverMeanDb),
      );
    // the median of the largest of M looks is −ln(1 − 2^(−1/M)) of the mean power
    const held = Math.LN2 / -Math.log1p(-Math.exp(-(10 ** (floor.medianOverMeanDb / 10))));
    return heldLaw('nepers', Math.max(1, held));
  }
  return POWER_LAW;
}

const POWER_LAW: StackLaw = {
  scale: 'power',
  valueOf: (db) => 10 ** (db / 10),
  base: 1,
  rise: (signal) => signal,
  signalOf: (rise) => Math.max(0, rise),
  isLinear: true,
};

/** ln S + E₁(S) + γ: the mean of the logarithm of one look over that without a line (exact). */
const LOG_LAW: StackLaw = {
  scale: 'nepers',
  valueOf: (db) => db / DB,
  base: null,
  rise: logRise,
  signalOf: inverse(logRise),
  isLinear: false,
};

function logRise(signal: number): number {
  if (signal < 1e-4) return Math.max(0, signal);
  return Math.log(signal) + exponentialIntegral(signal) + EULER;
}

/** Table of signals of the laws without a closed form, in dB over the noise. */
const TABLE_DB = [-20, 20, 2] as const;

/** The mean of a function of the largest of `looks` looks, summed over their distribution: one look has 2·P ~ non-central χ² of two degrees. */
function heldLaw(scale: StackLaw['scale'], looks: number): StackLaw {
  const valueOf: StackLaw['valueOf'] =
    scale === 'power' ? (db) => 10 ** (db / 10) : scale === 'nepers' ? (db) => db / DB : (db) => 10 ** (db / 20);
  const mean = (signal: number): number => {
    const top = 10 * Math.log10(3 + Math.log(looks) + (Math.sqrt(signal) + 5) ** 2);
    let sum = 0;
    let before = 0;
    const steps = 240;
    const lowDb = -60;
    for (let i = 1; i <= steps; i++) {
      const db = lowDb + ((top - lowDb) * i) / steps;
      const cdf = i === steps ? 1 : noncentralChiSquareCdf(2 * 10 ** (db / 10), 2, 2 * signal) ** looks;
      sum += (cdf - before) * valueOf(db - (top - lowDb) / steps / 2);
      before = cdf;
    }
    return sum;
  };
  const base = mean(0);
  const [fromDb, toDb, stepDb] = TABLE_DB;
  const signals = [0];
  const rises = [0];
  for (let db: number = fromDb; db <= toDb; db += stepDb) {
    signals.push(10 ** (db / 10));
    rises.push(Math.max(mean(signals.at(-1)!) - base, rises.at(-1)!));
  }
  const rise = (signal: number): number => {
    let i = 1;
    while (i < signals.length - 1 && signals[i]! < signal) i++;
    const share = (signal - signals[i - 1]!) / (signals[i]! - signals[i - 1]!);
    return rises[i - 1]! + share * (rises[i]! - rises[i - 1]!);
  };
  return { scale, valueOf, base: scale === 'nepers' ? null : base, rise, signalOf: inverse(rise), isLinear: false };
}

/** The largest signal that the inversions look for: far above any threshold of single lines. */
const LARGEST_SIGNAL = 1e4;

function inverse(rise: (signal: number) => number): (value: number) => number {
  return (value) => {
    if (!(value > 0)) return 0;
    let low = 0;
    let high = LARGEST_SIGNAL;
    for (let i = 0; i < 60; i++) {
      const middle = (low + high) / 2;
      if (rise(middle) < value) low = middle;
      else high = middle;
    }
    return (low + high) / 2;
  };
}

/** The number of looks at which a rising function reaches a level; 1 … 1e4. */
function looksWhere(levelDb: (looks: number) => number, target: number): number {
  let low = 0;
  let high = Math.log(1e4);
  for (let i = 0; i < 20; i++) {
    const middle = (low + high) / 2;
    if (levelDb(Math.exp(middle)) < target) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
}
