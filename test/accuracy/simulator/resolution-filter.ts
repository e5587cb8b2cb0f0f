/**
 * gaussian: the shape digital receivers aim at, falling forever.
 * four-pole: four equal tuned circuits one after another, as analogue receivers have: wide skirts.
 */
export type FilterKind = 'gaussian' | 'four-pole';

/** Offset of a four-pole filter's half-power point in units of one circuit's half width: √(2^¼ − 1). */
const FOUR_POLE_HALF = Math.sqrt(2 ** 0.25 - 1);

/** Complex voltage response at an offset from the centre, in bandwidths (half power to half power). 1 at the centre. */
export function filterResponse(kind: FilterKind, offset: number): { re: number; im: number } {
  if (kind === 'gaussian') return { re: 2 ** (-2 * offset * offset), im: 0 };
  const x = 2 * FOUR_POLE_HALF * offset;
  const magnitude = (1 + x * x) ** -2;
  const angle = -4 * Math.atan(x);
  return { re: magnitude * Math.cos(angle), im: magnitude * Math.sin(angle) };
}

/** Power response in dB. */
export function filterDb(kind: FilterKind, offset: number): number {
  if (kind === 'gaussian') return -40 * Math.log10(2) * offset * offset;
  const x = 2 * FOUR_POLE_HALF * offset;
  return -40 * Math.log10(1 + x * x);
}

/** Offset, in bandwidths, beyond which the response stays under `downDb` (a positive number). */
export function filterReach(kind: FilterKind, downDb: number): number {
  if (kind === 'gaussian') return Math.sqrt(Math.max(downDb, 0) / (40 * Math.log10(2)));
  return Math.sqrt(10 ** (Math.max(downDb, 0) / 40) - 1) / (2 * FOUR_POLE_HALF);
}

/**
 * Correlation of white noise seen through the filter at two tunings `offset` bandwidths apart: ∫H(f)·H*(f − offset) df, 1 at 0.
 *
 * Gaussian: 2^(−offset²). Four-pole: its envelope squared is t⁶·e^(−2ct), whose transform is (1 + jω/2c)⁻⁷.
 */
export function noiseCorrelation(kind: FilterKind, offset: number): { re: number; im: number } {
  if (kind === 'gaussian') return { re: 2 ** (-offset * offset), im: 0 };
  const x = FOUR_POLE_HALF * offset;
  const magnitude = (1 + x * x) ** -3.5;
  const angle = -7 * Math.atan(x);
  return { re: magnitude * Math.cos(angle), im: magnitude * Math.sin(angle) };
}

/** Taps that turn white complex noise on the points into noise with the filter's correlation between points. Unit power. */
export interface NoiseTaps {
  readonly re: Float64Array;
  readonly im: Float64Array;
  readonly isReal: boolean;
}

/** Square root of the spectrum of the correlation, transformed back; taps too small to matter are cut off. */
export function noiseTaps(kind: FilterKind, spacingInBandwidths: number): NoiseTaps {
  const half = 64;
  const length = 2 * half;
  const root = new Float64Array(length);
  for (let m = 0; m < length; m++) {
    let spectrum = 0;
    for (let k = -half + 1; k < half; k++) {
      const { re, im } = noiseCorrelation(kind, k * spacingInBandwidths);
      const angle = (2 * Math.PI * m * k) / length;
      spectrum += re * Math.cos(angle) + im * Math.sin(angle);
    }
    root[m] = Math.sqrt(Math.max(spectrum, 0));
  }
  const re: number[] = [];
  const im: number[] = [];
  for (let k = -half + 1; k < half; k++) {
    let a = 0;
    let b = 0;
    for (let m = 0; m < length; m++) {
      const angle = (2 * Math.PI * m * k) / length;
      a += root[m]! * Math.cos(angle);
      b += root[m]! * Math.sin(angle);
    }
    re.push(a / length);
    im.push(b / length);
  }
  const largest = Math.max(...re.map((a, i) => Math.hypot(a, im[i]!)));
  const keep = (i: number): boolean => Math.hypot(re[i]!, im[i]!) > 1e-3 * largest;
  let first = 0;
  while (!keep(first)) first++;
  let last = re.length - 1;
  while (!keep(last)) last--;
  const tapsRe = Float64Array.from(re.slice(first, last + 1));
  const tapsIm = Float64Array.from(im.slice(first, last + 1));
  let power = 0;
  for (let i = 0; i < tapsRe.length; i++) power += tapsRe[i]! ** 2 + tapsIm[i]! ** 2;
  const scale = 1 / Math.sqrt(power);
  return {
    re: tapsRe.map((a) => a * scale),
    im: tapsIm.map((b) => b * scale),
    isReal: tapsIm.every((b) => Math.abs(b * scale) < 1e-9),
  };
}
