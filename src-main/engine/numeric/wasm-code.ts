/**
 * Just enough of WebAssembly's binary format to write a loop over vectors of two doubles by hand: every function gives the bytes of one
 * expression or statement, so a kernel reads like the formula it computes. WebAssembly Core Specification 2.0 (W3C, 2022), chapter 5
 * "Binary format"; the vector instructions are those of its section 5.4.
 *
 * All arithmetic is IEEE 754 double precision without fused or reordered operations, so a kernel gives the same bits on every machine.
 */
export type Bytes = readonly number[];

const I32 = 0x7f;
const V128 = 0x7b;
const NOTHING = 0x40;

/** An unsigned number in the format's own seven-bit groups. */
export function unsigned(value: number): Bytes {
  const bytes: number[] = [];
  for (let rest = value; ; rest = Math.floor(rest / 128)) {
    if (rest < 128) return [...bytes, rest];
    bytes.push((rest % 128) + 128);
  }
}

function signed(value: number): Bytes {
  const bytes: number[] = [];
  for (let rest = value; ; rest >>= 7) {
    const group = rest & 127;
    const isLast = (rest >> 7 === 0 && group < 64) || (rest >> 7 === -1 && group >= 64);
    if (isLast) return [...bytes, group];
    bytes.push(group + 128);
  }
}

const vector = (instruction: number, ...operands: Bytes[]): Bytes => [
  ...operands.flat(),
  0xfd,
  ...unsigned(instruction),
];
/** A byte offset from an address; alignment is a hint only, and none is given. */
const place = (offsetBytes: number): Bytes => [0, ...unsigned(offsetBytes)];

export const int = (value: number): Bytes => [0x41, ...signed(value)];
export const get = (local: number): Bytes => [0x20, ...unsigned(local)];
export const set = (local: number, value: Bytes): Bytes => [...value, 0x21, ...unsigned(local)];
export const addInt = (a: Bytes, b: Bytes): Bytes => [...a, ...b, 0x6a];
export const shiftLeft = (a: Bytes, bits: number): Bytes => [...a, ...int(bits), 0x74];
/** Steps a local on by some bytes (or back). */
export const advance = (local: number, by: Bytes): Bytes => set(local, addInt(get(local), by));

export const add = (a: Bytes, b: Bytes): Bytes => vector(0xf0, a, b);
export const subtract = (a: Bytes, b: Bytes): Bytes => vector(0xf1, a, b);
export const multiply = (a: Bytes, b: Bytes): Bytes => vector(0xf2, a, b);
/** Both doubles at an address. */
export const load = (address: Bytes, offsetBytes = 0): Bytes => [...vector(0x00, address), ...place(offsetBytes)];
/** One double, in both places. */
export const loadTwice = (address: Bytes, offsetBytes = 0): Bytes => [...vector(0x0a, address), ...place(offsetBytes)];
/** One double in the first place, 0 in the second. */
export const loadFirst = (address: Bytes, offsetBytes = 0): Bytes => [...vector(0x5d, address), ...place(offsetBytes)];
/** `value` with its second place taken from an address. */
export const loadSecond = (address: Bytes, value: Bytes): Bytes => [...vector(0x57, address, value), ...place(0), 1];
export const store = (address: Bytes, value: Bytes, offsetBytes = 0): Bytes => [
  ...vector(0x0b, address, value),
  ...place(offsetBytes),
];

/** Repeats the statements while `counter`, an integer of 1 or more that is counted down, is not yet 0. */
export const repeat = (counter: number, ...statements: Bytes[]): Bytes => [
  0x03,
  NOTHING,
  ...statements.flat(),
  ...set(counter, addInt(get(counter), int(-1))),
  ...get(counter),
  0x0d,
  0,
  0x0b,
];

export interface KernelFunction {
  readonly name: string;
  /** 32-bit integers (addresses and counts): locals 0 … integers − 1, of which the first `parameters` are given by the caller. */
  readonly parameters: number;
  readonly integers: number;
  /** Locals that hold two doubles, numbered after the integers. */
  readonly vectors: number;
  readonly body: Bytes;
}

/** A module that takes its memory from `env.memory` and exports the functions, none of which returns anything. */
export function moduleBytes(functions: readonly KernelFunction[]): Uint8Array<ArrayBuffer> {
  const list = (items: readonly Bytes[]): Bytes => [...unsigned(items.length), ...items.flat()];
  const text = (value: string): Bytes => list([...value].map((letter) => [letter.charCodeAt(0)]));
  const section = (id: number, content: Bytes): Bytes => [id, ...unsigned(content.length), ...content];
  const code = ({ parameters, integers, vectors, body }: KernelFunction): Bytes => {
    const locals = list([
      [...unsigned(integers - parameters), I32],
      [...unsigned(vectors), V128],
    ]);
    const content = [...locals, ...body, 0x0b];
    return [...unsigned(content.length), ...content];
  };
  return Uint8Array.from([
    ...[0x00, 0x61, 0x73, 0x6d, 1, 0, 0, 0],
    ...section(1, list(functions.map(({ parameters }) => [0x60, ...list(Array(parameters).fill([I32])), 0]))),
    ...section(2, list([[...text('env'), ...text('memory'), 2, 0, 1]])),
    ...section(3, list(functions.map((_, i) => unsigned(i)))),
    ...section(7, list(functions.map(({ name }, i) => [...text(name), 0, ...unsigned(i)]))),
    ...section(10, list(functions.map(code))),
  ]);
}
