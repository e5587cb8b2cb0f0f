import { logBinomialTail } from '../numeric/binomial-tail.ts';

/**
 * log10 of P(X ≥ k) for X ~ Binomial(n, p); 0 for k ≤ 0.
 *
 * The tail of n trials with unequal probabilities is at most that of n equal ones with their mean, for k above
 * the mean plus one (Hoeffding 1956, "On the distribution of the number of successes in independent trials"), so using
 * the mean errs on the side of "could be chance".
 */
export function log10BinomialTail(k: number, n: number, p: number): number {
  return logBinomialTail(k, n, p) / Math.LN10;
}
