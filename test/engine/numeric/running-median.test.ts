import { spawnSync } from 'node:child_process';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { runningMedian } from '../../../src-main/engine/numeric/running-median.ts';
import { seeded } from '../attribution/scene.ts';

const median = (values: readonly number[], width: number, edge?: 'nearest' | 'reflect' | 'shrink'): number[] => [
  ...runningMedian(Float64Array.from(values), width, edge),
];
const X = [1, 10, 2, 3, 100, 4, 5];
const Y = [9, 1, 2, 8, 3, 4, 50, 5, 6, 7, 0];

/** The obvious way: sort every window. */
function slow(values: readonly number[], width: number): number[] {
  const half = (width - 1) / 2;
  return values.map((_, i) => {
    const window = Array.from(
      { length: width },
      (_, k) => values[Math.max(0, Math.min(values.length - 1, i - half + k))]!,
    );
    return window.sort((a, b) => a - b || 0)[half]!;
  });
}

describe('runningMedian(values, width, edge)', () => {
  // computed with scipy.ndimage.median_filter 1.17 (modes reflect and nearest)
  test.each([
    ['x, 3, reflect', X, 3, 'reflect', [1, 2, 3, 3, 4, 5, 5]],
    ['x, 3, nearest', X, 3, 'nearest', [1, 2, 3, 3, 4, 5, 5]],
    ['x, 5, reflect', X, 5, 'reflect', [2, 2, 3, 4, 4, 5, 5]],
    ['x, 5, nearest', X, 5, 'nearest', [1, 2, 3, 4, 4, 5, 5]],
    ['y, 5, reflect', Y, 5, 'reflect', [2, 8, 3, 3, 4, 5, 5, 6, 6, 5, 6]],
    ['y, 5, nearest', Y, 5, 'nearest', [9, 8, 3, 3, 4, 5, 5, 6, 6, 5, 0]],
  ] as const)('gives what scipy gives: %s', (_, values, width, edge, expected) => {
    expect(median(values, width, edge)).toEqual(expected);
  });

  test('agrees with R runmed in its interior (manual example, k = 7)', () => {
    const y = Array.from({ length: 41 }, (_, i) => (i - 20) ** 2);
    for (const [i, v] of [
      [0, 100],
      [9, 30],
      [20, 400],
      [40, 470],
    ] as const)
      y[i] = v;
    const expected =
      '256 256 225 196 169 144 100 81 64 49 49 36 25 16 16 9 4 4 4 9 16 16 25 36 49 64 81 100 121 144 169 196 225 256 289';
    expect(median(y, 7).slice(3, 38)).toEqual(expected.split(' ').map(Number));
  });

  test('agrees with scipy itself on random data, where it is installed', (context) => {
    const { uniform } = seeded(3);
    const values = Array.from({ length: 3000 }, () => Math.round(uniform() * 1e6) / 1e3);
    const code =
      'import sys,json;from scipy.ndimage import median_filter as m;d=json.load(sys.stdin);print(json.dumps([m(d,size=w,mode="nearest").tolist() for w in (3,101,1001)]))';
    const done = spawnSync('python3', ['-c', code], {
      input: JSON.stringify(values),
      encoding: 'utf8',
      maxBuffer: 1e8,
    });
    if (done.status !== 0) context.skip('python3 with scipy is not on this machine');
    const reference = JSON.parse(done.stdout) as number[][];
    for (const [i, width] of [3, 101, 1001].entries()) expect(median(values, width)).toEqual(reference[i]);
  });

  test('agrees with sorting every window, over lengths, widths, ties, huge values and −Infinity', () => {
    const value = fc.oneof(
      fc.integer({ min: -3, max: 3 }),
      fc.double({ noNaN: true, noDefaultInfinity: true }),
      fc.constant(-Infinity),
      fc.constant(1e30),
      fc.integer({ min: 0, max: 50 }).map((k) => 1 + k * 1e-12),
    );
    fc.assert(
      fc.property(fc.array(value, { minLength: 1, maxLength: 300 }), fc.nat(70), (values, half) => {
        expect(median(values, 2 * half + 1).map((v) => v + 0)).toEqual(slow(values, 2 * half + 1).map((v) => v + 0));
      }),
      { seed: 13, numRuns: 400 },
    );
  });

  test('agrees with sorting every window across the borders of its chunks', () => {
    const { normal } = seeded(8);
    const values = Array.from({ length: 5000 }, () => normal());
    for (const width of [3, 101, 513, 1025]) expect(median(values, width)).toEqual(slow(values, width));
  });

  test('removes runs of (w − 1)/2 outliers and keeps runs of (w + 1)/2', () => {
    for (const width of [5, 7, 9]) {
      const half = (width - 1) / 2;
      const with_ = (run: number): number[] => Array.from({ length: 60 }, (_, i) => (i >= 30 && i < 30 + run ? 1 : 0));
      expect(median(with_(half), width)).not.toContain(1);
      expect(median(with_(half + 1), width)).toContain(1);
    }
  });

  test('leaves a rising sequence unchanged with nearest and shrink, bends its ends with reflect', () => {
    const rise = Array.from({ length: 20 }, (_, i) => i);
    expect(median(rise, 9, 'nearest')).toEqual(rise);
    expect(median(rise, 9, 'shrink')).toEqual(rise);
    expect(median(rise, 9, 'reflect').slice(0, 5)).toEqual([2, 2, 2, 3, 4]);
  });

  test('commutes with a rising map: the median of decibels is the decibels of the median', () => {
    const { uniform } = seeded(2);
    const power = Array.from({ length: 400 }, () => 1e-12 + uniform());
    const decibels = power.map((p) => 10 * Math.log10(p));
    expect(median(decibels, 21)).toEqual(median(power, 21).map((p) => 10 * Math.log10(p)));
  });

  test('edges: empty, one point, width one, window longer than the data; even widths and NaN are refused', () => {
    expect(median([], 5)).toEqual([]);
    expect(median([7], 5)).toEqual([7]);
    expect(median([3, 1, 2], 1)).toEqual([3, 1, 2]);
    expect(median([3, 1, 2], 9, 'nearest')).toEqual(slow([3, 1, 2], 9));
    expect(() => median([1, 2], 4)).toThrow(/window width 4/);
    expect(() => median([1, NaN], 3)).toThrow(/NaN at point 1/);
  });
});
