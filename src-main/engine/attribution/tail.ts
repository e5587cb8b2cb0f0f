/**
 * log10 of P(X ≥ k) for X ~ Binomial(n, p), summed from the first term of the tail; 0 for k ≤ 0.
 *
 * The tail of n trials with unequal probabilities is at most that of n equal ones with their mean, for k above
 * the mean plus one (Hoeffding 1956, "On the distribution of the number of successes in independent trials"), so using
 * the mean errs on the side of "could be chance".
 */
export function log10BinomialTail(k: number, n: number, p: number): number {
  if (k <= 0) return 0;
  if (k > n || p <= 0) return -Infinity;
  if (p >= 1) return 0;
  let logTerm = k * Math.log(p) + (n - k) * Math.log1p(-p);
  for (let i = 1; i <= k; i++) logTerm += Math.log((n - k + i) / i);
  // the ratio of neighbouring terms falls steadily: sum until nothing is added
  let sum = 1;
  let term = 1;
  for (let i = k; i < n; i++) {
    term *= ((n - i) / (i + 1)) * (p / (1 - p));
    sum += term;
    if (term < 1e-12 * sum && i + 1 > n * p) break;
  }
  return Math.min(0, (logTerm + Math.log(sum)) / Math.LN10);
}
