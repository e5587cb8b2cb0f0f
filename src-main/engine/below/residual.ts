import type { Floor } from '../../model/floor.ts';
import type { Spur } from '../../model/spur.ts';
import { localMeans, scatter } from './local-scatter.ts';
import type { StackLaw } from './stack-law.ts';

/** Power response of the resolution filter at an offset: 1 at the centre, falling, even. */
export type Response = (offsetHz: number) => number;

/** What is left of a trace when its lines and its floor are taken away. */
export interface Residual {
  readonly frequencyHz: Float64Array;
  readonly spacingHz: number;
  readonly lineWidthHz: number;
  readonly response: Response;
  /** The stacked quantity of each point (see StackLaw), not yet freed of its local mean. */
  readonly value: Float64Array;
  /** 1 where nothing that was found reaches. */
  readonly free: Uint8Array;
  /** Lines so weak that chance decided whether they were found, and which of them covers a point: index + 1, 0 for none. */
  readonly weakLines: readonly WeakLine[];
  readonly weakOf: Uint16Array;
  /** Which claimed comb's predicted tooth covers a point: 0 none, c + 1 comb c, −1 several. */
  readonly toothOf: Int16Array;
  /** Mean of the free points around, those of a tooth's width left out; NaN where there are too few. */
  readonly local: Float64Array;
  /** Points on either side that make the local mean. */
  readonly sidePoints: number;
  /** Autocovariance of free points at distances 0, 1, 2 … points. */
  readonly covariance: Float64Array;
  /** Skewness of one free point. */
  readonly skewness: number;
}

/** A line that a stack may still count in. */
export interface WeakLine {
  readonly hz: number;
  /** The comb it is said to belong to, as in Residual.toothOf; 0 for a line that nothing explains. */
  readonly comb: number;
}

export interface ResidualInput {
  readonly frequencyHz: Float64Array;
  readonly levelDb: Float64Array;
  readonly floor: Floor;
  readonly spurs: readonly Spur[];
  readonly lineWidthHz: number;
  readonly response: Response;
  readonly law: StackLaw;
  /** Parallel to the spurs: the comb a line is said to belong to, as in Residual.toothOf; 0 for none, −1 for one that has no part here. */
  readonly combOf: readonly number[];
  /** Predicted places of all claimed combs: index of the comb, place and half-width to be left to it. */
  readonly teeth: readonly { readonly comb: number; readonly hz: number; readonly halfHz: number }[];
}

/** A found line is left out to where its skirt sinks under this share of the noise. A choice of this tool: two hundred such points still weigh less than the noise's own scatter. */
const SKIRT_LEFT = 0.01;
/** … and no nearer than this many line widths. */
const LEAST_REACH = 1.2;
const MOST_REACH = 30;

export function residualOf(input: ResidualInput): Residual {
  const { frequencyHz, levelDb, floor, spurs, lineWidthHz, response, law } = input;
  const n = frequencyHz.length;
  const spacingHz = (frequencyHz[n - 1]! - frequencyHz[0]!) / Math.max(1, n - 1);
  const value = new Float64Array(n);
  const free = new Uint8Array(n);
  for (let i = 0; i < n; i++) {
    const over = levelDb[i]! - floor.meanDb[i]!;
    if (!Number.isFinite(over)) continue;
    value[i] = law.valueOf(over);
    free[i] = 1;
  }
  const indexOf = (hz: number): number => nearestPoint(frequencyHz, spacingHz, hz);
  const weakLines: WeakLine[] = [];
  const weakOf = new Uint16Array(n);
  for (const [k, spur] of spurs.entries()) {
    const signal = 10 ** ((spur.levelDb - spur.floorDb) / 10);
    const reachHz = skirtReach(signal, lineWidthHz, response);
    const from = Math.min(spur.firstIndex, indexOf(spur.frequencyHz - reachHz));
    const to = Math.max(spur.lastIndex, indexOf(spur.frequencyHz + reachHz));
    const isWeak = spur.shape === 'line' && input.combOf[k]! >= 0 && signal < weakBelow(spur.peakIndex, floor);
    if (isWeak && weakLines.length < 65_535) weakLines.push({ hz: spur.frequencyHz, comb: input.combOf[k]! });
    for (let i = from; i <= to; i++) {
      // where two lines meet neither can be told from the other
      weakOf[i] = isWeak && free[i] === 1 ? weakLines.length : 0;
      free[i] = 0;
    }
  }
  const toothOf = new Int16Array(n);
  for (const { comb, hz, halfHz } of input.teeth) {
    const last = indexOf(hz + halfHz);
    for (let i = indexOf(hz - halfHz); i <= last; i++) {
      const held = toothOf[i]!;
      toothOf[i] = held === 0 || held === comb + 1 ? comb + 1 : -1;
    }
  }
  const perWidth = Math.max(1, lineWidthHz / spacingHz);
  const sidePoints = Math.max(30, Math.ceil(20 * perWidth));
  const local = localMeans(value, free, toothOf, sidePoints, Math.ceil(2.2 * perWidth));
  if (law.base !== null)
    for (let i = 0; i < n; i++) {
      if (Number.isNaN(local[i]!)) continue;
      value[i] = (value[i]! * law.base) / local[i]!;
      local[i] = law.base;
    }
  const reach = Math.min(n - 1, Math.ceil(3 * perWidth));
  return {
    frequencyHz,
    spacingHz,
    lineWidthHz,
    response,
    value,
    free,
    weakLines,
    weakOf,
    toothOf,
    local,
    sidePoints,
    ...scatter(value, free, toothOf, local, reach),
  };
}

/**
 * A line at the threshold is found or not by the luck of its noise. To leave the lucky ones out of a stack would make its mean too low, so
 * lines up to four standard deviations over the threshold stay in. A choice of this tool.
 */
function weakBelow(index: number, { thresholdDb, meanDb, looks }: Floor): number {
  const least = Math.max(0, 10 ** ((thresholdDb[index]! - meanDb[index]!) / 10) - 1);
  return least + 4 * Math.sqrt((1 + 2 * least) / Math.max(1, looks));
}

/** May a point be used for a tooth at a place: free, or covered by a weak line that would be this very tooth. */
export function isOpen(residual: Residual, index: number, placeHz: number, sigmaHz: number, own: number): boolean {
  if (residual.toothOf[index] !== 0 && residual.toothOf[index] !== own) return false;
  if (residual.free[index] === 1) return true;
  const weak = residual.weakLines[residual.weakOf[index]! - 1];
  return (
    weak !== undefined &&
    (weak.comb === 0 || weak.comb === own) &&
    Math.abs(weak.hz - placeHz) <= 0.5 * residual.lineWidthHz + 3 * sigmaHz
  );
}

/** How far a line of this power over the noise reaches before its skirt is small. */
function skirtReach(signal: number, widthHz: number, response: Response): number {
  let widths = LEAST_REACH;
  while (widths < MOST_REACH && signal * response(widths * widthHz) > SKIRT_LEFT) widths += 0.1;
  return widths * widthHz;
}

/** Index of the point nearest to a frequency, clamped to the trace. Evenly spaced points answer at once, others by halving. */
export function nearestPoint(frequencyHz: Float64Array, spacingHz: number, hz: number): number {
  const n = frequencyHz.length;
  const guess = Math.max(0, Math.min(n - 1, Math.round((hz - frequencyHz[0]!) / spacingHz)));
  if (Math.abs(frequencyHz[guess]! - hz) <= 0.51 * spacingHz) return guess;
  let low = 0;
  let high = n - 1;
  while (high - low > 1) {
    const middle = (low + high) >>> 1;
    if (frequencyHz[middle]! <= hz) low = middle;
    else high = middle;
  }
  return hz - frequencyHz[low]! <= frequencyHz[high]! - hz ? low : high;
}
