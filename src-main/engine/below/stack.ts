import { noncentralityWithCdf } from '../numeric/noncentral-chi-square.ts';
import { skewedTail } from '../numeric/skewed-tail.ts';
import type { StackLaw } from './stack-law.ts';
import type { Tooth } from './tooth.ts';

/** Many teeth as one: the mean rise, its scatter, and what it says of the lines. */
export interface Stack {
  readonly teeth: number;
  readonly rise: number;
  readonly sigma: number;
  /** Probability that noise alone stacks as high. Single teeth count for three standard deviations at the most. */
  readonly tail: number;
  /** Line power over the mean noise power that gives this rise; 0 where there is none. */
  readonly signal: number;
  readonly signalSigma: number;
}

/** A single tooth counts for this many standard deviations at most: one line of something else is no comb. A choice of this tool. */
const MOST_OF_ONE = 3;
/** One-sided 95 % point of the normal distribution. */
const Z95 = 1.6448536269514722;
const CONFIDENCE = 0.95;
/** Above this many looks the non-central chi-square is normal to a part in a thousand. */
const MANY_LOOKS = 3000;
const SHARE_BINS = 20;

/** The mean over teeth, each weighted by the inverse of its variance. */
export function stackTeeth(
  teeth: readonly Tooth[],
  law: StackLaw,
): Stack & { readonly solve: (rise: number) => number } {
  let weight = 0;
  for (const tooth of teeth) weight += 1 / tooth.variance;
  const variance = 1 / weight;
  const sigma = Math.sqrt(variance);
  let rise = 0;
  let capped = 0;
  let cubes = 0;
  // how much of the weight falls on points that get a given share of a line
  const bins = new Float64Array(SHARE_BINS + 1);
  for (const tooth of teeth) {
    const share = 1 / tooth.variance / weight;
    rise += share * tooth.rise;
    capped += share * Math.min(tooth.rise, MOST_OF_ONE * Math.sqrt(tooth.variance));
    cubes += share ** 3 * tooth.skewness * tooth.variance ** 1.5;
    for (const [i, g] of tooth.shares.entries())
      bins[Math.round(SHARE_BINS * Math.min(1, g))]! += share * tooth.weights[i]!;
  }
  const solve = (value: number): number => {
    if (law.isLinear) return Math.max(0, value);
    if (!(value > 0)) return 0;
    const expected = (signal: number): number => {
      let sum = 0;
      for (let b = 0; b <= SHARE_BINS; b++) if (bins[b]! > 0) sum += bins[b]! * law.rise((signal * b) / SHARE_BINS);
      return sum;
    };
    let low = 0;
    let high = 1;
    while (expected(high) < value && high < 1e4) high *= 2;
    for (let i = 0; i < 40; i++) {
      const middle = (low + high) / 2;
      if (expected(middle) < value) low = middle;
      else high = middle;
    }
    return (low + high) / 2;
  };
  const signal = solve(rise);
  const grown = law.isLinear ? sigma * Math.sqrt(1 + 2 * signal) : sigma;
  const signalSigma = law.isLinear
    ? grown
    : (solve(rise + sigma) - solve(Math.max(0, rise - sigma))) / (rise > sigma ? 2 : 1);
  return {
    teeth: teeth.length,
    rise,
    sigma,
    tail: skewedTail(capped / sigma, cubes / variance ** 1.5),
    signal,
    signalSigma,
    solve,
  };
}

/**
 * Upper limit with 95 % confidence on the mean line power, noise power 1: the power at which so low a stack has probability 0.05.
 *
 * Powers: a mean of many powers is one power of 1/σ² looks, so the limit is the non-centrality that a single line of that many
 * looks would get (see the limit of one point in tracking). Other scales: the rise and 1.645 σ through the law; there the scatter at a
 * line is less than that of noise alone, so this errs upwards. A stack below its mean counts as the mean, so that a lucky dip proves no
 * more than the measurement could have shown (power-constrained limit, Cowan, Cranmer, Gross & Vitells 2011).
 */
export function limitOf(rise: number, sigma: number, law: StackLaw, solve: (rise: number) => number): number {
  const least = Math.max(0, rise);
  if (!law.isLinear) return solve(least + Z95 * sigma);
  const looks = 1 / (sigma * sigma);
  if (looks <= MANY_LOOKS && looks >= 0.5)
    return noncentralityWithCdf(2 * looks * (1 + least), 2 * looks, 1 - CONFIDENCE) / (2 * looks);
  let limit = least + Z95 * sigma;
  for (let i = 0; i < 20; i++) limit = least + Z95 * sigma * Math.sqrt(1 + 2 * limit);
  return limit;
}
