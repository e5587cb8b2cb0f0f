import { fastestTransforms, type TwoTransforms } from './plain-transform.ts';
import type { SegmentPlan } from './plan-segments.ts';

/** Sums over all segments, per bin of the transform in its own order (0, 1 … N/2 … −1). */
export interface PeriodogramSums {
  readonly segments: number;
  /** Σ |X|² of the windowed segments. */
  readonly power: Float64Array;
  /** Σ X[k]·X[N−k] of an I/Q record, k = 0 … N/2; what a line and its mirror image have in common. Empty for a real record. */
  readonly mirrorRe: Float64Array;
  readonly mirrorIm: Float64Array;
  /** Segments left out because a sample in them is no finite number. */
  readonly brokenSegments: number;
}

/** Hears of each transform: Σ |X|² of the one or two segments in it, in an array that is used again. */
export type OnSegments = (power: Float64Array, segments: number) => void;

/**
 * Averaged windowed periodograms of a stream of samples (Welch 1967), in double precision.
 *
 * Push samples in pieces of any size; memory is a few windows whatever the length. The result does not depend on how the stream was
 * cut. No mean is taken away: what stands at 0 Hz is shown.
 *
 * Two transforms are done at once, of two segments of an I/Q record or four of a real one: two segments of a real record are the real
 * and the imaginary part of one, |X₁[k]|² + |X₂[k]|² = (|Z[k]|² + |Z[N−k]|²)/2.
 */
export class AveragedPeriodogram {
  readonly #plan: SegmentPlan;
  readonly #isComplex: boolean;
  readonly #onSegments: OnSegments | null;
  readonly #transform: TwoTransforms;
  /** Segments that are transformed together. */
  readonly #together: 2 | 4;
  /** Samples not yet used up, in the transform's buffers. */
  #pendingPoints = 0;
  /** The buffers hold, or held a moment ago, a sample that is no finite number. */
  #isSuspect = false;
  readonly #own: Float64Array | null;
  #segments = 0;
  #brokenSegments = 0;

  /** @param weights of plan.windowPoints samples; @param makeTransforms what transforms them, the fastest of this host */
  constructor(
    plan: SegmentPlan,
    weights: Float64Array,
    isComplex: boolean,
    onSegments: OnSegments | null = null,
    makeTransforms = fastestTransforms,
  ) {
    this.#plan = plan;
    this.#isComplex = isComplex;
    this.#onSegments = onSegments;
    this.#together = isComplex ? 2 : 4;
    const buffered = plan.windowPoints + (this.#together - 1) * plan.stepPoints;
    this.#transform = makeTransforms(plan.transformPoints, weights, buffered, isComplex);
    this.#own = onSegments === null ? null : new Float64Array(plan.transformPoints);
  }

  /** The next samples of the stream; `imaginary` of the same length where the record is complex, else null. */
  push(real: Float64Array, imaginary: Float64Array | null): void {
    const buffers = this.#transform;
    this.#isSuspect ||= !isFinite(real) || (imaginary !== null && !isFinite(imaginary));
    for (let at = 0; at < real.length;) {
      const taken = Math.min(buffers.real.length - this.#pendingPoints, real.length - at);
      buffers.real.set(real.subarray(at, at + taken), this.#pendingPoints);
      if (imaginary !== null) buffers.imaginary.set(imaginary.subarray(at, at + taken), this.#pendingPoints);
      this.#pendingPoints += taken;
      at += taken;
      if (this.#pendingPoints === buffers.real.length) this.#takeSegments();
    }
  }

  /** Begins anew, with the memory it has. */
  clear(): void {
    this.#transform.clear();
    this.#pendingPoints = this.#segments = this.#brokenSegments = 0;
    this.#isSuspect = false;
  }

  /** The stream is broken off here: no segment reaches over the gap. */
  gap(): void {
    this.#takeSegments();
    this.#pendingPoints = 0;
  }

  /** The sums over all whole segments so far. The stream may go on afterwards. */
  sums(): PeriodogramSums {
    this.#takeSegments();
    const power = this.#transform.power();
    const { re, im } = this.#isComplex ? this.#transform.products() : NO_PRODUCTS;
    return {
      segments: this.#segments,
      power: this.#isComplex ? power : evenPart(power),
      mirrorRe: re,
      mirrorIm: im,
      brokenSegments: this.#brokenSegments,
    };
  }

  /** Transforms the whole segments in the buffers, and keeps what the next one shares with them. */
  #takeSegments(): void {
    const { windowPoints, stepPoints } = this.#plan;
    const { real, imaginary } = this.#transform;
    const starts: number[] = [];
    let next = 0;
    for (; next + windowPoints <= this.#pendingPoints; next += stepPoints)
      if (this.#isWhole(next)) starts.push(next);
      else this.#brokenSegments++;
    if (next === 0) return;
    this.#segments += starts.length;
    if (starts.length > 0) {
      if (this.#isComplex) this.#transformComplex(starts);
      else this.#transformReal(starts);
    }
    real.copyWithin(0, next, this.#pendingPoints);
    imaginary.copyWithin(0, next, this.#pendingPoints);
    this.#pendingPoints -= next;
    this.#isSuspect &&=
      !isFinite(real.subarray(0, this.#pendingPoints)) || !isFinite(imaginary.subarray(0, this.#pendingPoints));
  }

  #isWhole(start: number): boolean {
    if (!this.#isSuspect) return true;
    const { real, imaginary } = this.#transform;
    const end = start + this.#plan.windowPoints;
    return isFinite(real.subarray(start, end)) && isFinite(imaginary.subarray(start, end));
  }

  #transformComplex([first = null, second = null]: Starts): void {
    const transform = this.#transform;
    transform.place(0, 'real', first, second);
    transform.place(1, 'imaginary', first, second);
    transform.addMirrored();
    if (this.#own === null) return;
    this.#tell(0, 1);
    if (second !== null) this.#tell(1, 1);
  }

  #transformReal([first = null, second = null, third = null, fourth = null]: Starts): void {
    const transform = this.#transform;
    transform.place(0, 'real', first, third);
    transform.place(1, 'real', second, fourth);
    if (this.#own === null) return transform.addPower();
    transform.addPowerKept();
    this.#tell(0, second === null ? 1 : 2);
    if (third !== null) this.#tell(1, fourth === null ? 1 : 2);
  }

  #tell(lane: 0 | 1, segments: number): void {
    this.#transform.squares(lane, this.#own!);
    this.#onSegments!(this.#isComplex ? this.#own! : evenPart(this.#own!), segments);
  }
}

type Starts = readonly (number | null)[];

const NO_PRODUCTS = { re: new Float64Array(0), im: new Float64Array(0) };

/** (p[k] + p[−k])/2, in place: of the squares of Z these are half the squares of the two real segments that Z was made of, at k and −k. */
function evenPart(power: Float64Array): Float64Array {
  const n = power.length;
  for (let k = 1; k < n / 2; k++) power[k] = power[n - k] = (power[k]! + power[n - k]!) / 2;
  return power;
}

function isFinite(samples: Float64Array): boolean {
  let none = 0;
  // x − x is 0 for a number, not-a-number for everything else
  for (let n = 0; n < samples.length; n++) none += samples[n]! - samples[n]!;
  return none === 0;
}

/** The sums of two stretches of one record, as if they had been one stream, in the arrays of the first. */
export function addSums(a: PeriodogramSums, b: PeriodogramSums): PeriodogramSums {
  const add = (x: Float64Array, y: Float64Array): Float64Array => {
    for (let i = 0; i < x.length; i++) x[i]! += y[i]!;
    return x;
  };
  return {
    segments: a.segments + b.segments,
    power: add(a.power, b.power),
    mirrorRe: add(a.mirrorRe, b.mirrorRe),
    mirrorIm: add(a.mirrorIm, b.mirrorIm),
    brokenSegments: a.brokenSegments + b.brokenSegments,
  };
}
