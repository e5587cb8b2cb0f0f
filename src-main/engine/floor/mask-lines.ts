/** How the points that are no line scatter about their running median. */
export interface Spread {
  /** Median minus 15.87 % point of the residuals, in dB. */
  readonly lowerDb: number;
  /** 84.13 % point minus median, in dB. */
  readonly upperDb: number;
}

/** The two sides of the spread of the points that are not masked. Histogram quantiles: no sort of a million points. */
export function sidesOf(levelDb: Float64Array, medianDb: Float64Array, masked: Uint8Array): Spread {
  const STEP = 0.002;
  const HALF = 20_000; // ± 40 dB
  const counts = new Uint32Array(2 * HALF + 1);
  let total = 0;
  for (let i = 0; i < levelDb.length; i++) {
    if (masked[i] === 1) continue;
    const r = levelDb[i]! - medianDb[i]!;
    if (Number.isNaN(r)) continue;
    counts[HALF + Math.max(-HALF, Math.min(HALF, Math.round(r / STEP)))]!++;
    total++;
  }
  if (total === 0) return { lowerDb: 0, upperDb: 0 };
  const quantile = (q: number): number => {
    let sum = 0;
    for (let i = 0; i < counts.length; i++) {
      sum += counts[i]!;
      if (sum >= q * total) return (i - HALF) * STEP;
    }
    return HALF * STEP;
  };
  const middle = quantile(0.5);
  return { lowerDb: middle - quantile(0.15865525), upperDb: quantile(0.84134475) - middle };
}

/** Marks what stands over the floor and counts it, with a resolution bandwidth on either side (a skirt below the mark still lifts the median). */
export function maskLines(
  levelDb: Float64Array,
  medianDb: Float64Array,
  blank: Uint8Array,
  masked: Uint8Array,
  heightDb: number,
  rbwPoints: number,
): number {
  const n = levelDb.length;
  masked.set(blank);
  const widest = Math.max(1, Math.round(1.2 * rbwPoints));
  for (let i = 0; i < n; i++) {
    const over = levelDb[i]! - medianDb[i]!;
    if (!(over > heightDb)) continue;
    // a point only just above the mark is as likely noise: its neighbours stay
    const reach = over > 1.6 * heightDb ? widest : 0;
    for (let j = Math.max(0, i - reach); j <= Math.min(n - 1, i + reach); j++) masked[j] = 1;
  }
  let count = 0;
  for (let i = 0; i < n; i++) count += masked[i]!;
  return count;
}
