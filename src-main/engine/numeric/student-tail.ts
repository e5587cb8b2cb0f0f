import { logGamma } from './gamma.ts';

/**
 * Two-sided tail of Student's t: the probability that |t| is exceeded, for any degrees of freedom above 0.
 *
 * It is the regularised incomplete beta function I_x(ν/2, 1/2) at x = ν/(ν + t²) (Abramowitz & Stegun 26.7.1, from memory; checked
 * against published points and scipy in the tests), by Lentz's continued fraction.
 */
export function studentTail(t: number, degrees: number): number {
  return incompleteBeta(degrees / 2, 0.5, degrees / (degrees + t * t));
}

function incompleteBeta(a: number, b: number, x: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x));
  // the fraction converges quickly on this side of the mean only
  return x < (a + 1) / (a + b + 2) ? (front * fraction(a, b, x)) / a : 1 - (front * fraction(b, a, 1 - x)) / b;
}

function fraction(a: number, b: number, x: number): number {
  const TINY = 1e-300;
  let c = 1;
  let d = 1 / nonZero(1 - ((a + b) * x) / (a + 1));
  let value = d;
  for (let m = 1; m <= 500; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / nonZero(1 + even * d);
    c = nonZero(1 + even / c);
    value *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / nonZero(1 + odd * d);
    c = nonZero(1 + odd / c);
    value *= d * c;
    if (Math.abs(d * c - 1) < 1e-15) break;
  }
  return value;

  function nonZero(z: number): number {
    return Math.abs(z) < TINY ? TINY : z;
  }
}
