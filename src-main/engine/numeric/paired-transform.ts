import { fourierModule, POINT_BYTES, type FourierKernel } from './fourier-kernel.ts';

/** The part of the WebAssembly interface that is used (W3C WebAssembly JavaScript Interface 2.0). */
declare const WebAssembly: {
  validate: (bytes: Uint8Array<ArrayBuffer>) => boolean;
  Module: new (bytes: Uint8Array<ArrayBuffer>) => object;
  Memory: new (size: { initial: number }) => { readonly buffer: ArrayBuffer };
  Instance: new (module: object, imports: object) => { readonly exports: unknown };
};

const PAGE_BYTES = 65_536;
/** Points of both transforms that stay in a core's nearest memory (32 kB) while all further steps are done on them. */
const NEAR_POINTS = 1024;

let compiled: object | null = null;
let isUnderstood: boolean | null = null;

/** Whether this host understands the kernel. */
export function hasVectorLanes(): boolean {
  isUnderstood ??= typeof WebAssembly === 'object' && WebAssembly.validate(fourierModule());
  return isUnderstood;
}

/**
 * Two discrete Fourier transforms of a power of two of points at once, X[k] = Σ x[n]·e^(−2πikn/N), of windowed stretches of two buffers,
 * and the sums of |X|² over many of them. In double precision, with the same bits on every machine.
 *
 * `place(part, a, b)` puts two stretches into the real (0) or imaginary (1) parts of the two lanes; `addPower` or `addMirrored` transform
 * and add. Sums are kept by lane and in the transform's own order, and put in order when asked for. Memory: 32 bytes a point, 16 for
 * tables, 16 for sums (32 more where mirrored), 8 a sample of the buffers.
 */
export class PairedTransform {
  /** Samples that segments are taken from: real, and imaginary where there are any. */
  readonly real: Float64Array;
  readonly imaginary: Float64Array;
  readonly #kernel: FourierKernel;
  readonly #points: number;
  readonly #window: number;
  readonly #data: Float64Array;
  readonly #at: {
    readonly data: number;
    readonly sums: number;
    readonly products: number;
    readonly weights: number;
    readonly real: number;
    readonly imaginary: number;
    /** Turns of the step over blocks of so many points. */
    readonly turns: ReadonlyMap<number, number>;
  };
  readonly #sums: Float64Array;
  readonly #products: Float64Array;

  /**
   * @param points of the transform, a power of two of at least 16; @param weights of the window, no more than points
   * @param bufferSamples length of the buffers; @param hasImaginary whether there is an imaginary buffer, and products are summed
   */
  constructor(points: number, weights: Float64Array, bufferSamples: number, hasImaginary: boolean) {
    this.#points = points;
    this.#window = weights.length;
    let used = 0;
    const take = (bytes: number): number => {
      const at = used;
      used += Math.ceil(bytes / 64) * 64;
      return at;
    };
    const data = take(points * POINT_BYTES);
    const turns = new Map<number, number>();
    for (let n = points; n > 4; n /= 4) turns.set(n, take(12 * n));
    const sums = take(points * 16);
    // one place more, which the two points that are their own mirror write a second sum to
    const products = take(hasImaginary ? (points / 2 + 1) * 32 + 16 : 0);
    const weightsAt = take(8 * weights.length);
    const real = take(8 * bufferSamples);
    const imaginary = take(hasImaginary ? 8 * bufferSamples : 0);
    this.#at = { data, sums, products, weights: weightsAt, real, imaginary, turns };

    compiled ??= new WebAssembly.Module(fourierModule());
    const memory = new WebAssembly.Memory({ initial: Math.ceil(used / PAGE_BYTES) });
    this.#kernel = new WebAssembly.Instance(compiled, { env: { memory } }).exports as FourierKernel;
    const view = (at: number, count: number): Float64Array => new Float64Array(memory.buffer, at, count);
    view(weightsAt, weights.length).set(weights);
    for (const [n, at] of turns) fillTurns(view(at, 1.5 * n), n);
    this.#data = view(data, points * 4);
    this.#sums = view(sums, points * 2);
    this.#products = view(products, hasImaginary ? (points / 2 + 1) * 4 : 0);
    this.real = view(real, bufferSamples);
    this.imaginary = view(imaginary, hasImaginary ? bufferSamples : 0);
  }

  /**
   * Weighs stretches of one buffer, from sample a on and from sample b on, into the real (0) or imaginary (1) parts of the two lanes.
   * null: zeros.
   */
  place(part: 0 | 1, from: 'real' | 'imaginary', a: number | null, b: number | null): void {
    const { data, weights, [from]: buffer } = this.#at;
    const to = data + 16 * part;
    if (a === null) {
      for (let n = 2 * part; n < 4 * this.#window; n += 4) this.#data[n] = this.#data[n + 1] = 0;
    } else if (b === null) this.#kernel.weighOne(to, buffer + 8 * a, weights, this.#window);
    else this.#kernel.weigh(to, buffer + 8 * a, buffer + 8 * b, weights, this.#window);
  }

  /** Transforms what was placed and adds |X|² to the sums. */
  addPower(): void {
    this.#transform(false);
  }

  /** Transforms what was placed and adds |X[k]|² and X[k]·X[−k]. `squares` then gives the |X|² of one lane. */
  addMirrored(): void {
    this.#transform(true);
    const { data, sums, products } = this.#at;
    const { mirror } = this.#kernel;
    const n = this.#points;
    const spare = products + (n / 2 + 1) * 32;
    mirror(data, data, 1, sums, spare, products);
    mirror(data + POINT_BYTES, data + POINT_BYTES, 1, sums + 16, spare, products + 32);
    // in bit-reversed order k and −k are the same distance from the two ends of a run that begins and ends at powers of two
    for (let run = 2; run < n; run *= 2) {
      const [up, down] = [run, 2 * run - 1];
      mirror(
        data + up * POINT_BYTES,
        data + down * POINT_BYTES,
        run / 2,
        sums + 16 * up,
        sums + 16 * down,
        products + 32 * (run / 2 + 1),
      );
    }
  }

  /** Transforms what was placed and adds |X|², keeping X for `squares`. */
  addPowerKept(): void {
    this.#transform(true);
    this.#kernel.power(this.#at.data, this.#points, this.#at.sums);
  }

  /** |X|² of one lane, of what was transformed last and kept, in the order of frequency: 0, 1 … N/2 … −1. */
  squares(lane: 0 | 1, to: Float64Array): void {
    const data = this.#data;
    eachReversed(this.#points, (k, p) => {
      to[k] = data[4 * p + lane]! ** 2 + data[4 * p + 2 + lane]! ** 2;
    });
  }

  /** Σ|X|² of both lanes so far, in the order of frequency. */
  power(): Float64Array {
    const power = new Float64Array(this.#points);
    const sums = this.#sums;
    eachReversed(this.#points, (k, p) => {
      power[k] = sums[2 * p]! + sums[2 * p + 1]!;
    });
    return power;
  }

  /** Σ X[k]·X[−k] of both lanes so far, k = 0 … N/2. */
  products(): { readonly re: Float64Array; readonly im: Float64Array } {
    const n = this.#points;
    const sums = this.#products;
    const re = new Float64Array(n / 2 + 1);
    const im = new Float64Array(n / 2 + 1);
    eachReversed(n, (k, p) => {
      if (k > n / 2) return;
      const slot = slotOf(p);
      re[k] = sums[4 * slot]! + sums[4 * slot + 1]!;
      im[k] = sums[4 * slot + 2]! + sums[4 * slot + 3]!;
    });
    return { re, im };
  }

  /** Begins all sums anew. */
  clear(): void {
    this.#sums.fill(0);
    this.#products.fill(0);
  }

  #transform(isKept: boolean): void {
    // the last transform has written over the zeros behind the window
    this.#data.fill(0, 4 * this.#window);
    this.#steps(this.#at.data, this.#points, isKept);
  }

  /** All steps over one block: the first ones over the whole of it while it is large, then all of them quarter by quarter. */
  #steps(at: number, points: number, isKept: boolean): void {
    const { data, turns, sums } = this.#at;
    const kernel = this.#kernel;
    if (points > NEAR_POINTS) {
      const quarter = points / 4;
      kernel.quarters(at, quarter, 1, turns.get(points)!);
      for (let i = 0; i < 4; i++) this.#steps(at + i * quarter * POINT_BYTES, quarter, isKept);
      return;
    }
    let left = points;
    for (; left > 4; left /= 4) kernel.quarters(at, left / 4, points / left, turns.get(left)!);
    const sumsAt = sums + (at - data) / 2;
    if (left === 4) {
      if (isKept) kernel.fours(at, points / 4);
      else kernel.foursPower(at, points / 4, sumsAt);
    } else if (isKept) kernel.twos(at, points / 2);
    else kernel.twosPower(at, points / 2, sumsAt);
  }
}

/** Where the product of a pair is summed that has one of its two points at p: the first two points are their own mirrors. */
function slotOf(p: number): number {
  if (p < 2) return p;
  const run = 2 ** (31 - Math.clz32(p));
  return run / 2 + 1 + Math.min(p - run, 2 * run - 1 - p);
}

/** Calls with every number below n, a power of two, and its bits in reverse. */
function eachReversed(n: number, each: (k: number, reversed: number) => void): void {
  let reversed = 0;
  for (let k = 0; k < n; k++) {
    each(k, reversed);
    // adds one from the top bit down
    let bit = n >> 1;
    for (; (reversed & bit) !== 0; bit >>= 1) reversed ^= bit;
    reversed |= bit;
  }
}

/** e^(−2πij/n), its square and its cube for j = 0 … n/4 − 1. */
function fillTurns(turns: Float64Array, n: number): void {
  for (let j = 0; j < n / 4; j++) {
    for (let power = 1; power <= 3; power++) {
      const angle = (-2 * Math.PI * ((power * j) % n)) / n;
      turns[6 * j + 2 * (power - 1)] = Math.cos(angle);
      turns[6 * j + 2 * (power - 1) + 1] = Math.sin(angle);
    }
  }
}
