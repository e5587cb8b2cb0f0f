import { digamma, gammaTailInverse, trigamma } from '../numeric/gamma.ts';

export const DB_PER_NEPER = 10 / Math.LN10;

/** Standard deviation in dB of the power of K averaged looks: 4.3429·√ψ₁(K). */
export function spreadDb(looks: number): number {
  return DB_PER_NEPER * Math.sqrt(trigamma(looks));
}

/** Median over mean of the power of K averaged looks, in dB (negative). */
export function medianOverMeanDb(looks: number): number {
  return 10 * Math.log10(gammaTailInverse(looks, 0.5) / looks);
}

/** Mean of the decibels over the decibels of the mean of K averaged looks (negative): 4.3429·(ψ(K) − ln K). */
export function meanOfDecibelsDb(looks: number): number {
  return DB_PER_NEPER * (digamma(looks) - Math.log(looks));
}

/** Height over the mean that the power of K averaged looks exceeds with the given probability, in dB. */
export function thresholdOverMeanDb(looks: number, probability: number): number {
  return 10 * Math.log10(gammaTailInverse(looks, probability) / looks);
}

/** Distance from the median down to the 15.87 % point of K averaged looks, in dB: the lower side of the spread. */
export function lowerSpreadDb(looks: number): number {
  const at = (tail: number): number => 10 * Math.log10(gammaTailInverse(looks, tail));
  return at(0.5) - at(0.8413447460685429);
}

/** Distance from the median up to the 84.13 % point of K averaged looks, in dB. */
export function upperSpreadDb(looks: number): number {
  const at = (tail: number): number => 10 * Math.log10(gammaTailInverse(looks, tail));
  return at(0.1586552539314571) - at(0.5);
}

/** The number of looks whose lower spread is the one observed; 0.5 … 1e5. */
export function looksFromLowerSpread(observedDb: number): number {
  let low = Math.log(0.5);
  let high = Math.log(1e5);
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (lowerSpreadDb(Math.exp(middle)) > observedDb) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
}

/** Quantile of the largest of M single looks, in dB over their mean power: −ln(1 − p^{1/M}). */
export function maxHoldQuantileDb(sweeps: number, upperTail: number): number {
  // 1 − (1 − t)^{1/M} without loss for small t
  const below = -Math.expm1(Math.log1p(-upperTail) / sweeps);
  return 10 * Math.log10(-Math.log(below));
}

/**
 * Level over the mean power that the mean of two neighbouring points, each the largest of M looks, exceeds with at most the given
 * probability, in dB. Upper bound: both largest from one look (M times the tail of a sum of two correlated powers, λ = 1 ± ρ),
 * or from two (M² times that of independent ones).
 *
 * @param powerCorrelation of neighbouring points as the held trace shows it; taken somewhat larger, since holding hides some
 */
export function heldPairQuantileDb(sweeps: number, powerCorrelation: number, upperTail: number): number {
  const rho = Math.min(0.95, 0.05 + 1.15 * Math.sqrt(Math.max(0, powerCorrelation)));
  const tail = (t: number): number =>
    sweeps * ((1 + rho) / (2 * rho)) * Math.exp((-2 * t) / (1 + rho)) + sweeps ** 2 * (1 + 2 * t) * Math.exp(-2 * t);
  let low = 0;
  let high = 500;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (tail(middle) > upperTail) low = middle;
    else high = middle;
  }
  return 10 * Math.log10((low + high) / 2);
}

/** Width from the 15.87 % to the 84.13 % point of the largest of M looks, in dB. */
export function heldSpreadDb(sweeps: number): number {
  return maxHoldQuantileDb(sweeps, 0.1586552539) - maxHoldQuantileDb(sweeps, 0.8413447461);
}

/** The number of held sweeps whose spread (15.87 % … 84.13 %) is the one observed; 1 … 1e6. */
export function sweepsFromSpread(observedDb: number): number {
  let low = 0;
  let high = Math.log(1e6);
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (heldSpreadDb(Math.exp(middle)) > observedDb) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
}
