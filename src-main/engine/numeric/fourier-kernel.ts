import {
  add,
  addInt,
  advance,
  get,
  int,
  load,
  loadFirst,
  loadSecond,
  loadTwice,
  moduleBytes,
  multiply,
  repeat,
  set,
  shiftLeft,
  store,
  subtract,
  type Bytes,
  type KernelFunction,
} from './wasm-code.ts';

/** A point of two transforms side by side: real parts of both, then imaginary parts of both. */
export const POINT_BYTES = 32;
const IMAGINARY = 16;

/** What the kernel does with addresses into its memory. None checks its arguments. */
export interface FourierKernel {
  /** count ≥ 1 points: the doubles at a (first lane) and b (second lane) times the weights at w, one every 32 bytes from `to` on. */
  readonly weigh: (to: number, a: number, b: number, w: number, count: number) => void;
  /** The same with 0 in the second lane. */
  readonly weighOne: (to: number, a: number, w: number, count: number) => void;
  /** One step of a transform over `blocks` blocks of 4·quarter points each, with turns of three complex numbers a point of a quarter. */
  readonly quarters: (at: number, quarter: number, blocks: number, turns: number) => void;
  /** The last step where four points are left to a block. */
  readonly fours: (at: number, blocks: number) => void;
  /** The last step where two points are left to a block. */
  readonly twos: (at: number, blocks: number) => void;
  /** `fours`, adding the squares |X|² to the sums at `sums` (16 bytes a point) in place of keeping X. */
  readonly foursPower: (at: number, blocks: number, sums: number) => void;
  readonly twosPower: (at: number, blocks: number, sums: number) => void;
  /** Adds |X|² of count points to the sums. */
  readonly power: (at: number, count: number, sums: number) => void;
  /** Adds |X[p]|², |X[m]|² and the product X[p]·X[m], p going up and m going down. */
  readonly mirror: (
    up: number,
    down: number,
    count: number,
    sumsUp: number,
    sumsDown: number,
    products: number,
  ) => void;
}

/**
 * Transforms of two segments at once, one in each lane of a vector, so that no step has to shuffle lanes.
 *
 * Radix 4, decimation in frequency, in place; blocks are left in bit-reversed order: each step sends the multiples 4m, 4m+2, 4m+1, 4m+3
 * to its quarters in this order. Cooley and Tukey, Mathematics of Computation 19 (1965) 297–301.
 */
export function fourierModule(): Uint8Array<ArrayBuffer> {
  return moduleBytes([
    weigh('weigh', true),
    weigh('weighOne', false),
    quarters(),
    fours('fours', false),
    fours('foursPower', true),
    twos('twos', false),
    twos('twosPower', true),
    power(),
    mirror(),
  ]);
}

function weigh(name: string, both: boolean): KernelFunction {
  const [to, a, b] = [0, 1, 2];
  const w = both ? 3 : 2;
  const count = w + 1;
  const first = loadFirst(get(a));
  return {
    name,
    parameters: count + 1,
    integers: count + 1,
    vectors: 0,
    body: repeat(
      count,
      store(get(to), multiply(both ? loadSecond(get(b), first) : first, loadTwice(get(w)))),
      advance(to, int(POINT_BYTES)),
      advance(a, int(8)),
      both ? advance(b, int(8)) : [],
      advance(w, int(8)),
    ),
  };
}

/** Four points at addresses become sums and differences: the radix-4 butterfly, in locals `v` … `v + 15`. */
function butterfly(points: readonly (readonly [address: Bytes, offset: number])[], v: number): Bytes {
  const read = points.flatMap(([address, offset], i) => [
    ...set(v + 2 * i, load(address, offset)),
    ...set(v + 2 * i + 1, load(address, offset + IMAGINARY)),
  ]);
  const [a, b, c, d] = [0, 2, 4, 6].map((i) => [get(v + i), get(v + i + 1)] as const) as [Pair, Pair, Pair, Pair];
  // a + c, a − c, b + d and −i·(b − d), the turn of a forward transform
  return [
    ...read,
    ...set(v + 8, add(a[0], c[0])),
    ...set(v + 9, add(a[1], c[1])),
    ...set(v + 10, subtract(a[0], c[0])),
    ...set(v + 11, subtract(a[1], c[1])),
    ...set(v + 12, add(b[0], d[0])),
    ...set(v + 13, add(b[1], d[1])),
    ...set(v + 14, subtract(b[1], d[1])),
    ...set(v + 15, subtract(d[0], b[0])),
  ];
}

type Pair = readonly [re: Bytes, im: Bytes];

/** The four results of a butterfly, for 4m, 4m+2, 4m+1, 4m+3. */
function results(v: number): readonly [Pair, Pair, Pair, Pair] {
  const of = (i: number): Bytes => get(v + i);
  return [
    [add(of(8), of(12)), add(of(9), of(13))],
    [subtract(of(8), of(12)), subtract(of(9), of(13))],
    [add(of(10), of(14)), add(of(11), of(15))],
    [subtract(of(10), of(14)), subtract(of(11), of(15))],
  ];
}

function quarters(): KernelFunction {
  const [at, quarter, blocks, turns] = [0, 1, 2, 3];
  const [p0, p1, p2, p3, w, left] = [4, 5, 6, 7, 8, 9];
  const v = 10;
  const [re, im] = [v, v + 1];
  /** Keeps a result after its turn; `turn` counts the three complex numbers of a point. */
  const keepTurned = (to: number, [a, b]: Pair, turn: number): Bytes => {
    const [c, s] = [loadTwice(get(w), 16 * turn), loadTwice(get(w), 16 * turn + 8)];
    return [
      ...set(re, a),
      ...set(im, b),
      ...store(get(to), subtract(multiply(get(re), c), multiply(get(im), s))),
      ...store(get(to), add(multiply(get(re), s), multiply(get(im), c)), IMAGINARY),
    ];
  };
  const [first, second, third, fourth] = results(v);
  return {
    name: 'quarters',
    parameters: 4,
    integers: 10,
    vectors: 16,
    body: repeat(
      blocks,
      set(p0, get(at)),
      set(p1, addInt(get(p0), shiftLeft(get(quarter), 5))),
      set(p2, addInt(get(p1), shiftLeft(get(quarter), 5))),
      set(p3, addInt(get(p2), shiftLeft(get(quarter), 5))),
      set(at, addInt(get(p3), shiftLeft(get(quarter), 5))),
      set(w, get(turns)),
      set(left, get(quarter)),
      repeat(
        left,
        butterfly(
          [p0, p1, p2, p3].map((p) => [get(p), 0] as const),
          v,
        ),
        store(get(p0), first[0]),
        store(get(p0), first[1], IMAGINARY),
        keepTurned(p1, second, 1),
        keepTurned(p2, third, 0),
        keepTurned(p3, fourth, 2),
        ...[p0, p1, p2, p3].map((p) => advance(p, int(POINT_BYTES))),
        advance(w, int(48)),
      ),
    ),
  };
}

function fours(name: string, onlyPower: boolean): KernelFunction {
  const [at, blocks, sums] = [0, 1, 2];
  const parameters = onlyPower ? 3 : 2;
  const v = parameters;
  return {
    name,
    parameters,
    integers: parameters,
    vectors: 16,
    body: repeat(
      blocks,
      butterfly(
        [0, 1, 2, 3].map((i) => [get(at), i * POINT_BYTES] as const),
        v,
      ),
      ...results(v).map((pair, i) => keep(pair, i, { at, sums, re: v, im: v + 1, onlyPower })),
      advance(at, int(4 * POINT_BYTES)),
      onlyPower ? advance(sums, int(4 * 16)) : [],
    ),
  };
}

function twos(name: string, onlyPower: boolean): KernelFunction {
  const [at, blocks, sums] = [0, 1, 2];
  const parameters = onlyPower ? 3 : 2;
  const v = parameters;
  const [a, b] = [0, 2].map((i) => [get(v + i), get(v + i + 1)] as const) as [Pair, Pair];
  const both: readonly Pair[] = [
    [add(a[0], b[0]), add(a[1], b[1])],
    [subtract(a[0], b[0]), subtract(a[1], b[1])],
  ];
  return {
    name,
    parameters,
    integers: parameters,
    vectors: 6,
    body: repeat(
      blocks,
      ...[0, 1, 2, 3].map((i) => set(v + i, load(get(at), 16 * i))),
      ...both.map((pair, i) => keep(pair, i, { at, sums, re: v + 4, im: v + 5, onlyPower })),
      advance(at, int(2 * POINT_BYTES)),
      onlyPower ? advance(sums, int(2 * 16)) : [],
    ),
  };
}

interface Kept {
  readonly at: number;
  readonly sums: number;
  /** Locals that may be written over. */
  readonly re: number;
  readonly im: number;
  readonly onlyPower: boolean;
}

/** Point i of a block: kept, or its |X|² added to the sums. */
function keep([re, im]: Pair, i: number, kept: Kept): Bytes {
  if (!kept.onlyPower)
    return [...store(get(kept.at), re, i * POINT_BYTES), ...store(get(kept.at), im, i * POINT_BYTES + IMAGINARY)];
  return [
    ...set(kept.re, re),
    ...set(kept.im, im),
    ...store(get(kept.sums), add(load(get(kept.sums), 16 * i), squares(kept.re, kept.im)), 16 * i),
  ];
}

function squares(re: number, im: number): Bytes {
  return add(multiply(get(re), get(re)), multiply(get(im), get(im)));
}

function power(): KernelFunction {
  const [at, count, sums] = [0, 1, 2];
  const [re, im] = [3, 4];
  return {
    name: 'power',
    parameters: 3,
    integers: 3,
    vectors: 2,
    body: repeat(
      count,
      set(re, load(get(at))),
      set(im, load(get(at), IMAGINARY)),
      store(get(sums), add(load(get(sums)), squares(re, im))),
      advance(at, int(POINT_BYTES)),
      advance(sums, int(16)),
    ),
  };
}

function mirror(): KernelFunction {
  const [up, down, count, sumsUp, sumsDown, products] = [0, 1, 2, 3, 4, 5];
  const [a, b, c, d] = [6, 7, 8, 9];
  return {
    name: 'mirror',
    parameters: 6,
    integers: 6,
    vectors: 4,
    body: repeat(
      count,
      set(a, load(get(up))),
      set(b, load(get(up), IMAGINARY)),
      set(c, load(get(down))),
      set(d, load(get(down), IMAGINARY)),
      store(get(sumsUp), add(load(get(sumsUp)), squares(a, b))),
      store(get(sumsDown), add(load(get(sumsDown)), squares(c, d))),
      store(get(products), add(load(get(products)), subtract(multiply(get(a), get(c)), multiply(get(b), get(d))))),
      store(get(products), add(load(get(products), 16), add(multiply(get(a), get(d)), multiply(get(b), get(c)))), 16),
      advance(up, int(POINT_BYTES)),
      advance(down, int(-POINT_BYTES)),
      advance(sumsUp, int(16)),
      advance(sumsDown, int(-16)),
      advance(products, int(32)),
    ),
  };
}
