import FFT from 'fft.js';
import { describe, expect, test } from 'vitest';
import { fourierModule } from '../../../src-main/engine/numeric/fourier-kernel.ts';
import { PairedTransform } from '../../../src-main/engine/numeric/paired-transform.ts';
import { unsigned } from '../../../src-main/engine/numeric/wasm-code.ts';
import { seeded } from '../attribution/scene.ts';

const ones = (points: number): Float64Array => new Float64Array(points).fill(1);

/** Both lanes hold complex samples of their own; gives |X|² of each and the sums. */
function transformed(
  points: number,
  lanes: readonly (readonly [Float64Array, Float64Array])[],
  weights = ones(points),
) {
  const transform = new PairedTransform(points, weights, 2 * points, true);
  for (const [lane, [re, im]] of lanes.entries()) {
    transform.real.set(re, lane * points);
    transform.imaginary.set(im, lane * points);
  }
  transform.place(0, 'real', 0, points);
  transform.place(1, 'imaginary', 0, points);
  transform.addMirrored();
  const squares = [new Float64Array(points), new Float64Array(points)] as const;
  transform.squares(0, squares[0]);
  transform.squares(1, squares[1]);
  return { squares, power: transform.power(), products: transform.products() };
}

function noise(points: number, seed: number): Float64Array {
  const { normal } = seeded(seed);
  return Float64Array.from({ length: points }, normal);
}

/** fft.js, an independent library. */
function reference(re: Float64Array, im: Float64Array): { re: Float64Array; im: Float64Array } {
  const fft = new FFT(re.length);
  const input = new Float64Array(2 * re.length);
  for (let n = 0; n < re.length; n++) [input[2 * n], input[2 * n + 1]] = [re[n]!, im[n]!];
  const out = new Float64Array(2 * re.length);
  fft.transform(out, input);
  return { re: out.filter((_, i) => i % 2 === 0), im: out.filter((_, i) => i % 2 === 1) };
}

test('the seven-bit groups of an unsigned number are those of the worked example 624485 → E5 8E 26 (DWARF 4, 7.6 and LEB128 there)', () => {
  expect(unsigned(624_485)).toEqual([0xe5, 0x8e, 0x26]);
  expect(unsigned(0)).toEqual([0]);
  expect(unsigned(127)).toEqual([127]);
  expect(unsigned(128)).toEqual([0x80, 1]);
});

test('the kernel begins with the magic and version of the format (WebAssembly Core Specification, 5.5.16)', () => {
  expect([...fourierModule().subarray(0, 8)]).toEqual([0, 0x61, 0x73, 0x6d, 1, 0, 0, 0]);
});

describe('PairedTransform', () => {
  test('done by hand: a turning phasor of bin 3 has all its power there, an impulse the same everywhere', () => {
    const n = 16;
    const angle = (i: number): number => (2 * Math.PI * 3 * i) / n;
    const turning = [
      Float64Array.from({ length: n }, (_, i) => Math.cos(angle(i))),
      Float64Array.from({ length: n }, (_, i) => Math.sin(angle(i))),
    ] as const;
    const impulse = [new Float64Array(n), new Float64Array(n)] as const;
    impulse[0][0] = 1;
    const { squares } = transformed(n, [turning, impulse]);
    for (let k = 0; k < n; k++) {
      expect(squares[0][k]).toBeCloseTo(k === 3 ? 256 : 0, 9);
      expect(squares[1][k]).toBeCloseTo(1, 12);
    }
  });

  // every shape of the steps: even and odd powers of two, within and beyond what stays near
  test.each([16, 32, 64, 128, 512, 1024, 2048, 4096, 8192, 65_536])(
    'agrees with fft.js over %i points, powers and products alike',
    (n) => {
      const lanes = [1, 2].map((seed) => [noise(n, seed), noise(n, 10 + seed)] as const);
      const { squares, power, products } = transformed(n, lanes);
      const theirs = lanes.map(([re, im]) => reference(re, im));
      let worst = 0;
      for (let k = 0; k < n; k++) {
        for (const lane of [0, 1] as const) {
          const expected = theirs[lane]!.re[k]! ** 2 + theirs[lane]!.im[k]! ** 2;
          worst = Math.max(worst, Math.abs(squares[lane][k]! - expected) / n);
        }
        worst = Math.max(worst, Math.abs(power[k]! - squares[0][k]! - squares[1][k]!) / n);
        if (k > n / 2) continue;
        const m = (n - k) % n;
        let [re, im] = [0, 0];
        for (const x of theirs) {
          re += x.re[k]! * x.re[m]! - x.im[k]! * x.im[m]!;
          im += x.re[k]! * x.im[m]! + x.im[k]! * x.re[m]!;
        }
        worst = Math.max(worst, Math.abs(products.re[k]! - re) / n, Math.abs(products.im[k]! - im) / n);
      }
      expect(worst).toBeLessThan(1e-12);
    },
  );

  test('power is kept: Σ|X|² is N·Σ|x|² (Parseval), and one lane knows nothing of the other', () => {
    const n = 2048;
    const [a, b] = [[noise(n, 3), noise(n, 4)] as const, [noise(n, 5), noise(n, 6)] as const];
    const both = transformed(n, [a, b]);
    const alone = transformed(n, [a, [new Float64Array(n), new Float64Array(n)]]);
    expect(both.squares[0]).toEqual(alone.squares[0]);
    const energy = (x: readonly Float64Array[]): number => x.flatMap((y) => [...y]).reduce((sum, v) => sum + v * v, 0);
    const total = both.squares[1].reduce((sum, p) => sum + p, 0);
    expect(total / n / energy(b)).toBeCloseTo(1, 12);
  });

  test('a window shorter than the transform: what an earlier transform left behind it is not seen', () => {
    const n = 64;
    const weights = noise(40, 7);
    const transform = new PairedTransform(n, weights, 40, false);
    transform.real.set(noise(40, 8));
    const first = new Float64Array(n);
    const again = new Float64Array(n);
    for (const to of [first, again]) {
      transform.place(0, 'real', 0, null);
      transform.place(1, 'real', null, null);
      transform.addPowerKept();
      transform.squares(0, to);
    }
    expect(again).toEqual(first);
    expect(transform.power()[5]! / first[5]!).toBeCloseTo(2, 12);
    transform.clear();
    expect(Math.max(...transform.power())).toBe(0);
  });

  test('adding while transforming gives what transforming first and adding then gives', () => {
    for (const n of [32, 64, 4096]) {
      const transform = new PairedTransform(n, ones(n), 4 * n, false);
      transform.real.set(noise(4 * n, 9));
      const place = (): void => {
        transform.place(0, 'real', 0, 2 * n);
        transform.place(1, 'real', n, 3 * n);
      };
      place();
      transform.addPower();
      const fused = transform.power();
      transform.clear();
      place();
      transform.addPowerKept();
      expect(transform.power()).toEqual(fused);
    }
  });
});
