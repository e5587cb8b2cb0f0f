import { normalTailInverse } from './normal.ts';

/** Moments of the largest of some independent values. */
export interface LargestOfMany {
  readonly mean: number;
  readonly sd: number;
}

export interface LargestExponential extends LargestOfMany {
  /** Of the natural logarithm of the largest. */
  readonly meanLog: number;
  readonly sdLog: number;
}

/** Equal steps of probability that the quantile function is summed over. */
const STEPS = 2000;

/**
 * The largest of `count` independent exponential variates with mean 1 (the power of one look of noise): its mean is the harmonic
 * number, its variance Σ1/k². `count` ≥ 1 need not be whole. Midpoint sum over the quantiles; good to 1e-3 of a standard deviation.
 */
export function largestExponential(count: number): LargestExponential {
  const quantile = (u: number): number => -Math.log(-Math.expm1(Math.log(u) / count));
  const plain = momentsOf(quantile);
  const log = momentsOf((u) => Math.log(quantile(u)));
  return { ...plain, meanLog: log.mean, sdLog: log.sd };
}

/** The largest of `count` independent standard normal variates. */
export function largestNormal(count: number): LargestOfMany {
  // a coarser sum: each quantile takes a bisection
  return count <= 1 ? { mean: 0, sd: 1 } : momentsOf((u) => normalTailInverse(-Math.expm1(Math.log(u) / count)), 200);
}

function momentsOf(quantile: (u: number) => number, steps = STEPS): LargestOfMany {
  let sum = 0;
  let square = 0;
  let low = 0;
  // squeezed towards both ends, where quantiles run away: u = 3t² − 2t³
  for (let i = 0; i < steps; i++) {
    const t = (i + 1) / steps;
    const high = t * t * (3 - 2 * t);
    const m = (i + 0.5) / steps;
    const x = quantile(m * m * (3 - 2 * m));
    sum += (high - low) * x;
    square += (high - low) * x * x;
    low = high;
  }
  return { mean: sum, sd: Math.sqrt(Math.max(0, square - sum * sum)) };
}
