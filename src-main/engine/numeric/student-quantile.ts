import { normalTailInverse } from './normal.ts';

/**
 * Two-sided quantile of Student's t: the value that |t| exceeds with probability `rate`, for a whole number of degrees of freedom.
 *
 * `degrees` Infinity gives the normal distribution. By bisection on the closed forms of Abramowitz & Stegun 26.7.3 and 26.7.4 (from
 * memory, checked against published quantiles in the tests); above 200 degrees the normal quantile, corrected to first order.
 */
export function studentTwoSided(rate: number, degrees: number): number {
  const key = `${rate}/${degrees}`;
  let found = known.get(key);
  if (found === undefined) {
    found = quantile(rate, degrees);
    if (known.size >= MOST_KNOWN) known.clear();
    known.set(key, found);
  }
  return found;
}

/** A run asks for a handful of quantiles, many thousand times. */
const known = new Map<string, number>();
const MOST_KNOWN = 256;

function quantile(rate: number, degrees: number): number {
  if (degrees > 200) {
    const z = normalTailInverse(rate / 2);
    return Number.isFinite(degrees) ? z + (z ** 3 + z) / (4 * degrees) : z;
  }
  return bisect((value) => studentTwoSidedRate(value, degrees), rate);
}

function studentTwoSidedRate(t: number, degrees: number): number {
  const theta = Math.atan(t / Math.sqrt(degrees));
  const sine = Math.sin(theta);
  const cosine = Math.cos(theta);
  const odd = degrees % 2 === 1;
  let term = odd ? cosine : 1;
  let sum = degrees === 1 ? 0 : term;
  for (let k = odd ? 3 : 2; k <= degrees - 2; k += 2) {
    term *= (cosine * cosine * (k - 1)) / k;
    sum += term;
  }
  const inside = odd ? (2 / Math.PI) * (theta + sine * sum) : sine * sum;
  return 1 - inside;
}

/** The z ≥ 0 at which a falling function reaches `target`. */
function bisect(rate: (value: number) => number, target: number): number {
  let low = 0;
  let high = 1;
  while (rate(high) > target && high < 1e12) high *= 2;
  for (let i = 0; i < 200 && high - low > 1e-12 * high; i++) {
    const middle = (low + high) / 2;
    if (rate(middle) > target) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
