import { logGamma } from './gamma.ts';

/**
 * Natural logarithm of P(X ≥ k) for X ~ Binomial(n, p). Summed from the tail's first term; above the mean, so that nothing is
 * lost where the tail is near one, from the complement below it.
 *
 * Edges: 0 for k ≤ 0 or p ≥ 1, −Infinity for k > n or p ≤ 0.
 */
export function logBinomialTail(k: number, n: number, p: number): number {
  if (k <= 0) return 0;
  if (k > n || p <= 0) return -Infinity;
  if (p >= 1) return 0;
  const logTerm = (i: number): number =>
    logGamma(n + 1) - logGamma(i + 1) - logGamma(n - i + 1) + i * Math.log(p) + (n - i) * Math.log1p(-p);
  const odds = p / (1 - p);
  if (k > n * p) {
    let term = 1;
    let sum = 1;
    for (let i = k; i < n && term > 1e-17 * sum; i++) {
      term *= ((n - i) / (i + 1)) * odds;
      sum += term;
    }
    return Math.min(0, logTerm(k) + Math.log(sum));
  }
  let term = 1;
  let sum = 1;
  for (let i = k - 1; i > 0 && term > 1e-17 * sum; i--) {
    term *= i / ((n - i + 1) * odds);
    sum += term;
  }
  return Math.log1p(-Math.min(1, Math.exp(logTerm(k - 1)) * sum));
}

/**
 * Natural logarithm of P(X ≥ k) for the number X of successes in independent trials with probabilities `ps`.
 *
 * Exact recursion over the trials (Barlow & Heidtmann 1984, from memory): only counts below k are kept and everything that reaches
 * k is gathered, so that no small tail is found by subtraction. Scaled as it goes, so a tail of 1e-400 is no zero. Cost n·k.
 */
export function logPoissonBinomialTail(k: number, ps: ArrayLike<number>): number {
  if (k <= 0) return 0;
  if (k > ps.length) return -Infinity;
  // below[j]: logarithm of the chance of exactly j successes so far, j < k
  const below = new Float64Array(k).fill(-Infinity);
  below[0] = 0;
  let reached = -Infinity;
  for (let t = 0; t < ps.length; t++) {
    const yes = Math.log(Math.min(1, Math.max(0, ps[t]!)));
    const no = Math.log1p(-Math.min(1, Math.max(0, ps[t]!)));
    reached = logSum(reached, below[k - 1]! + yes);
    for (let j = Math.min(k - 1, t + 1); j > 0; j--) below[j] = logSum(below[j]! + no, below[j - 1]! + yes);
    below[0] = below[0] + no;
  }
  return Math.min(0, reached);
}

function logSum(a: number, b: number): number {
  const most = Math.max(a, b);
  return most === -Infinity ? -Infinity : most + Math.log1p(Math.exp(Math.min(a, b) - most));
}
