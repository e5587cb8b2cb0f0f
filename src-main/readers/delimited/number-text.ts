/**
 * Decimal digits → the very double that Number() gives, without making a string.
 *
 * Up to 15 significant digits: an exact integer and one multiplication or division by an exact power of ten (10^k, k ≤ 22) is
 * correctly rounded. Up to 19 digits: the same in double-double arithmetic, where the rounding is provably not in doubt
 * (Dekker 1971, "A floating-point technique for extending the available precision"); else the caller falls back to Number().
 */
const POWERS = Float64Array.from({ length: 23 }, (_, k) => 10 ** k);
export const MOST_EXACT_POWER = 22;
const SPLITTER = 134_217_729; // 2^27 + 1

/** `mantissa` × 10^`power` for an integer mantissa of at most 15 digits; NaN where the power is out of the exact range. */
export function shortDecimal(mantissa: number, power: number): number {
  if (power < 0) return power >= -MOST_EXACT_POWER ? mantissa / POWERS[-power]! : NaN;
  return power <= MOST_EXACT_POWER ? mantissa * POWERS[power]! : NaN;
}

/**
 * (`head` × 10^`tailDigits` + `tail`) × 10^`power`, head ≤ 15 digits, tail ≤ 4 digits; NaN where only Number() can decide.
 *
 * Every product below is split into an exact pair high + low (two-product); the last addition is trusted only if moving the low
 * part by far more than its own error leaves the sum unchanged.
 */
export function longDecimal(head: number, tail: number, tailDigits: number, power: number): number {
  if (power < -MOST_EXACT_POWER || power > MOST_EXACT_POWER) return NaN;
  const scale = POWERS[tailDigits]!;
  const product = head * scale;
  const productLow = lowOfProduct(head, scale, product);
  const high = product + tail;
  const low = tail - (high - product) + productLow;
  let sum: number;
  let rest: number;
  if (power < 0) {
    const divisor = POWERS[-power]!;
    sum = high / divisor;
    const back = sum * divisor;
    rest = (high - back - lowOfProduct(sum, divisor, back) + low) / divisor;
  } else {
    const factor = POWERS[power]!;
    sum = high * factor;
    rest = lowOfProduct(high, factor, sum) + low * factor;
  }
  const value = sum + rest;
  const doubt = Math.abs(rest) * 1e-9 + Math.abs(value) * 1e-28;
  return sum + (rest + doubt) === value && sum + (rest - doubt) === value ? value : NaN;
}

/** What a × b is beyond its rounded product (exact: Dekker's two-product). */
function lowOfProduct(a: number, b: number, product: number): number {
  const aBig = SPLITTER * a;
  const aHigh = aBig - (aBig - a);
  const aLow = a - aHigh;
  const bBig = SPLITTER * b;
  const bHigh = bBig - (bBig - b);
  const bLow = b - bHigh;
  return aLow * bLow - (product - aHigh * bHigh - aLow * bHigh - aHigh * bLow);
}

/** The number in a stretch of bytes by Number(); a decimal comma and Fortran's D exponent are turned first. */
export function slowDecimal(bytes: Uint8Array, from: number, to: number): number {
  let text = '';
  for (let i = from; i < to; i++) {
    const b = bytes[i]!;
    text += b === 44 ? '.' : b === 68 || b === 100 ? 'e' : String.fromCharCode(b);
  }
  return Number(text);
}
