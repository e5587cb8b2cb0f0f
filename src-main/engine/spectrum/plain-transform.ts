import FFT from 'fft.js';
import { hasVectorLanes, PairedTransform } from '../numeric/paired-transform.ts';

/** What an averaged periodogram asks of a transform of two stretches at once; the words are `PairedTransform`'s. */
export type TwoTransforms = Pick<
  PairedTransform,
  | 'real'
  | 'imaginary'
  | 'place'
  | 'addPower'
  | 'addMirrored'
  | 'addPowerKept'
  | 'squares'
  | 'power'
  | 'products'
  | 'clear'
>;

/** Makes a transform of so many points, for a window, with buffers of so many samples. */
export type MakeTransforms = (
  points: number,
  weights: Float64Array,
  bufferSamples: number,
  hasImaginary: boolean,
) => TwoTransforms;

/** In vector lanes where the host has them, else by fft.js: some four times as slow, the same sums to about 1e-15 of the strongest bin. */
export const fastestTransforms: MakeTransforms = (points, weights, bufferSamples, hasImaginary) =>
  hasVectorLanes()
    ? new PairedTransform(points, weights, bufferSamples, hasImaginary)
    : new PlainTransform(points, weights, bufferSamples, hasImaginary);

/** The same as `PairedTransform` by a library, one lane after the other, for hosts without vector lanes. Memory: 128 bytes a point. */
export class PlainTransform implements TwoTransforms {
  readonly real: Float64Array;
  readonly imaginary: Float64Array;
  readonly #fft: FFT;
  readonly #weights: Float64Array;
  /** Samples of each lane, real and imaginary parts in turn. */
  readonly #placed: readonly [Float64Array, Float64Array];
  readonly #transformed: readonly [Float64Array, Float64Array];
  readonly #power: Float64Array;
  readonly #products: { readonly re: Float64Array; readonly im: Float64Array };

  constructor(points: number, weights: Float64Array, bufferSamples: number, hasImaginary: boolean) {
    this.real = new Float64Array(bufferSamples);
    this.imaginary = new Float64Array(hasImaginary ? bufferSamples : 0);
    this.#fft = new FFT(points);
    this.#weights = weights;
    const lane = (): Float64Array => new Float64Array(2 * points);
    this.#placed = [lane(), lane()];
    this.#transformed = [lane(), lane()];
    this.#power = new Float64Array(points);
    const products = hasImaginary ? points / 2 + 1 : 0;
    this.#products = { re: new Float64Array(products), im: new Float64Array(products) };
  }

  place(part: 0 | 1, from: 'real' | 'imaginary', a: number | null, b: number | null): void {
    const buffer = this[from];
    const weights = this.#weights;
    for (const [lane, start] of [a, b].entries()) {
      const to = this.#placed[lane]!;
      for (let n = 0; n < weights.length; n++) to[2 * n + part] = start === null ? 0 : buffer[start + n]! * weights[n]!;
    }
  }

  addPower(): void {
    this.addPowerKept();
  }

  addPowerKept(): void {
    for (const lane of [0, 1] as const) {
      const out = this.#transformed[lane];
      this.#fft.transform(out, this.#placed[lane]);
      for (let k = 0; k < this.#power.length; k++) this.#power[k]! += out[2 * k]! ** 2 + out[2 * k + 1]! ** 2;
    }
  }

  addMirrored(): void {
    this.addPowerKept();
    const { re, im } = this.#products;
    const n = this.#power.length;
    for (const out of this.#transformed) {
      for (let k = 0; k < re.length; k++) {
        const mirror = (n - k) % n;
        const [x, y, u, v] = [out[2 * k]!, out[2 * k + 1]!, out[2 * mirror]!, out[2 * mirror + 1]!];
        re[k]! += x * u - y * v;
        im[k]! += x * v + y * u;
      }
    }
  }

  squares(lane: 0 | 1, to: Float64Array): void {
    const out = this.#transformed[lane];
    for (let k = 0; k < to.length; k++) to[k] = out[2 * k]! ** 2 + out[2 * k + 1]! ** 2;
  }

  power(): Float64Array {
    return this.#power.slice();
  }

  products(): { readonly re: Float64Array; readonly im: Float64Array } {
    return { re: this.#products.re.slice(), im: this.#products.im.slice() };
  }

  clear(): void {
    for (const sums of [this.#power, this.#products.re, this.#products.im]) sums.fill(0);
  }
}
