import { logGamma, logGammaTail } from './gamma.ts';

/**
 * Cumulative distribution of the non-central chi-square: P(X ≤ x) with `degrees` degrees of freedom and non-centrality `lambda`.
 *
 * Poisson mixture of central ones, Σ pois(j; λ/2)·P(k/2 + j, x/2), summed outwards from its largest weight with the recurrence
 * P(a + 1, y) = P(a, y) − yᵃe⁻ʸ/Γ(a + 1) (Abramowitz & Stegun 26.4.25 and 6.5.21; from memory, checked against SciPy in the tests).
 * `degrees` need not be whole. Cost grows as √λ. Absolute error below 1e-9 for λ and degrees up to 1e5.
 */
export function noncentralChiSquareCdf(x: number, degrees: number, lambda: number): number {
  if (!(x > 0)) return 0;
  const y = x / 2;
  const h = lambda / 2;
  const middle = Math.floor(h);
  const a = degrees / 2 + middle;
  const middleWeight = h > 0 ? Math.exp(-h + middle * Math.log(h) - logGamma(middle + 1)) : 1;
  const middleP = -Math.expm1(logGammaTail(a, y));
  const middleStep = Math.exp(-y + a * Math.log(y) - logGamma(a + 1)); // P(a, y) − P(a + 1, y)

  let sum = middleWeight * middleP;
  if (h === 0) return sum;
  // upwards: weights and probabilities both fall
  let weight = middleWeight;
  let p = middleP;
  let step = middleStep;
  for (let j = middle + 1; ; j++) {
    weight *= h / j;
    p -= step;
    step *= y / (degrees / 2 + j);
    if (p <= 0 || weight < 1e-18) break;
    sum += weight * p;
    if (weight * p < 1e-17 * sum) break;
  }
  // downwards: weights fall, probabilities rise to at most 1
  weight = middleWeight;
  p = middleP;
  step = middleStep;
  for (let j = middle - 1; j >= 0; j--) {
    weight *= (j + 1) / h;
    step *= (degrees / 2 + j + 1) / y;
    p = Math.min(1, p + step);
    sum += weight * p;
    if (weight < 1e-18) break;
  }
  return Math.min(1, sum);
}

/**
 * The non-centrality at which a value of at most `x` has probability `probability`: the upper confidence limit at 1 − `probability`.
 *
 * 0 where even no non-centrality makes `x` that improbable (a downward fluctuation).
 */
export function noncentralityWithCdf(x: number, degrees: number, probability: number): number {
  const excess = (root: number): number => noncentralChiSquareCdf(x, degrees, root * root) - probability;
  let low = 0;
  let atLow = excess(0);
  if (atLow <= 0) return 0;
  // √X is nearly normal about √(λ + degrees − 1): the root lies close to √x plus a few.
  let high = Math.sqrt(x) + 2;
  let atHigh = excess(high);
  while (atHigh > 0) {
    [low, atLow] = [high, atHigh];
    high *= 1.5;
    atHigh = excess(high);
  }
  // False position with the Illinois correction (Dowell & Jarratt 1971): halve the weight of an end that stays.
  let kept = 0;
  for (let i = 0; i < 100 && high - low > 1e-9 * high; i++) {
    const middle = Math.min(high, Math.max(low, (low * atHigh - high * atLow) / (atHigh - atLow)));
    const there = excess(middle);
    if (Math.abs(there) < 1e-12) return middle * middle;
    if (there > 0) {
      [low, atLow] = [middle, there];
      if (kept === 1) atHigh /= 2;
      kept = 1;
    } else {
      [high, atHigh] = [middle, there];
      if (kept === -1) atLow /= 2;
      kept = -1;
    }
  }
  return ((low + high) / 2) ** 2;
}
