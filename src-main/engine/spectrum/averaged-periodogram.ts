import FFT from 'fft.js';
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
 * Two segments of a real record are transformed at once as real and imaginary part: |X₁[k]|² + |X₂[k]|² = (|Z[k]|² + |Z[N−k]|²)/2.
 * The cost is one transform a segment (half of one for real records) and a few passes over it.
 */
export class AveragedPeriodogram {
  readonly #plan: SegmentPlan;
  readonly #weights: Float64Array;
  readonly #onSegments: OnSegments | null;
  readonly #fft: FFT;
  /** Samples not yet used up. */
  readonly #real: Float64Array;
  readonly #imaginary: Float64Array | null;
  #pendingPoints = 0;
  readonly #input: Float64Array;
  readonly #output: Float64Array;
  readonly #power: Float64Array;
  readonly #own: Float64Array | null;
  readonly #mirrorRe: Float64Array;
  readonly #mirrorIm: Float64Array;
  /** A real segment waits in the real part of the input for its partner. */
  #isHalfFilled = false;
  #segments = 0;
  #brokenSegments = 0;

  /** @param weights of plan.windowPoints samples */
  constructor(plan: SegmentPlan, weights: Float64Array, isComplex: boolean, onSegments: OnSegments | null = null) {
    this.#plan = plan;
    this.#weights = weights;
    this.#onSegments = onSegments;
    const n = plan.transformPoints;
    this.#fft = new FFT(n);
    this.#real = new Float64Array(plan.windowPoints);
    this.#imaginary = isComplex ? new Float64Array(plan.windowPoints) : null;
    this.#input = new Float64Array(2 * n);
    this.#output = new Float64Array(2 * n);
    this.#power = new Float64Array(n);
    this.#own = onSegments === null ? null : new Float64Array(n);
    this.#mirrorRe = new Float64Array(isComplex ? n / 2 + 1 : 0);
    this.#mirrorIm = new Float64Array(isComplex ? n / 2 + 1 : 0);
  }

  /** The next samples of the stream; `imaginary` of the same length where the record is complex, else null. */
  push(real: Float64Array, imaginary: Float64Array | null): void {
    const { windowPoints, stepPoints } = this.#plan;
    for (let at = 0; at < real.length;) {
      const taken = Math.min(windowPoints - this.#pendingPoints, real.length - at);
      this.#real.set(real.subarray(at, at + taken), this.#pendingPoints);
      this.#imaginary?.set(imaginary!.subarray(at, at + taken), this.#pendingPoints);
      this.#pendingPoints += taken;
      at += taken;
      if (this.#pendingPoints < windowPoints) return;
      this.#takeSegment();
      this.#real.copyWithin(0, stepPoints);
      this.#imaginary?.copyWithin(0, stepPoints);
      this.#pendingPoints = windowPoints - stepPoints;
    }
  }

  /** The stream is broken off here: no segment reaches over the gap. */
  gap(): void {
    this.#pendingPoints = 0;
  }

  /** The sums over all whole segments so far. The stream may go on afterwards. */
  sums(): PeriodogramSums {
    if (this.#isHalfFilled) this.#transformReal(1);
    return {
      segments: this.#segments,
      power: this.#power,
      mirrorRe: this.#mirrorRe,
      mirrorIm: this.#mirrorIm,
      brokenSegments: this.#brokenSegments,
    };
  }

  #takeSegment(): void {
    const imaginary = this.#imaginary;
    if (!isFinite(this.#real) || (imaginary !== null && !isFinite(imaginary))) {
      this.#brokenSegments++;
      return;
    }
    this.#segments++;
    const input = this.#input;
    if (imaginary !== null) {
      this.#weigh(this.#real, 0);
      this.#weigh(imaginary, 1);
      this.#transformComplex();
    } else if (this.#isHalfFilled) {
      this.#weigh(this.#real, 1);
      this.#transformReal(2);
    } else {
      this.#weigh(this.#real, 0);
      for (let n = 0; n < this.#weights.length; n++) input[2 * n + 1] = 0;
      this.#isHalfFilled = true;
    }
  }

  /** Puts the weighted samples into the real (0) or imaginary (1) part of the input. */
  #weigh(samples: Float64Array, part: 0 | 1): void {
    const weights = this.#weights;
    const input = this.#input;
    for (let n = 0; n < weights.length; n++) input[2 * n + part] = samples[n]! * weights[n]!;
  }

  #transformComplex(): void {
    const n = this.#plan.transformPoints;
    const out = this.#output;
    const power = this.#power;
    const [re, im] = [this.#mirrorRe, this.#mirrorIm];
    this.#fft.transform(out, this.#input);
    for (let k = 0; k <= n / 2; k++) {
      const m = (n - k) % n;
      const a = out[2 * k]!;
      const b = out[2 * k + 1]!;
      const c = out[2 * m]!;
      const d = out[2 * m + 1]!;
      this.#add(power, k, a * a + b * b);
      if (m !== k) this.#add(power, m, c * c + d * d);
      re[k]! += a * c - b * d;
      im[k]! += a * d + b * c;
    }
    this.#tell(1);
  }

  #transformReal(segments: 1 | 2): void {
    const n = this.#plan.transformPoints;
    const out = this.#output;
    const power = this.#power;
    this.#fft.transform(out, this.#input);
    this.#isHalfFilled = false;
    for (let k = 0; k <= n / 2; k++) {
      const m = (n - k) % n;
      const p = (out[2 * k]! ** 2 + out[2 * k + 1]! ** 2 + out[2 * m]! ** 2 + out[2 * m + 1]! ** 2) / 2;
      this.#add(power, k, p);
      if (m !== k) this.#add(power, m, p);
    }
    this.#tell(segments);
  }

  #add(power: Float64Array, k: number, p: number): void {
    power[k]! += p;
    if (this.#own !== null) this.#own[k] = p;
  }

  #tell(segments: number): void {
    if (this.#own !== null) this.#onSegments!(this.#own, segments);
  }
}

function isFinite(samples: Float64Array): boolean {
  let none = 0;
  // x − x is 0 for a number, not-a-number for everything else
  for (let n = 0; n < samples.length; n++) none += samples[n]! - samples[n]!;
  return none === 0;
}

/** The sums of two stretches of one record, as if they had been one stream. */
export function addSums(a: PeriodogramSums, b: PeriodogramSums): PeriodogramSums {
  const add = (x: Float64Array, y: Float64Array): Float64Array => x.map((value, i) => value + y[i]!);
  return {
    segments: a.segments + b.segments,
    power: add(a.power, b.power),
    mirrorRe: add(a.mirrorRe, b.mirrorRe),
    mirrorIm: add(a.mirrorIm, b.mirrorIm),
    brokenSegments: a.brokenSegments + b.brokenSegments,
  };
}
