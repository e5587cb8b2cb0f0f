import fc from 'fast-check';
import { expect, test } from 'vitest';
import { MinMaxPyramid } from '../../src-main/api/min-max-pyramid.ts';
import { thinTrace } from '../../src-main/api/thin-trace.ts';

function drawn(levelDb: Float64Array) {
  const frequencyHz = Float64Array.from(levelDb, (_, i) => 1000 + 10 * i);
  return { frequencyHz, levelDb, pyramid: new MinMaxPyramid(levelDb) };
}

const level = fc.oneof(
  { weight: 5, arbitrary: fc.double({ min: -150, max: 0, noNaN: true }) },
  { weight: 1, arbitrary: fc.constantFrom(NaN, -Infinity, Infinity) },
);

test('the pyramid gives the extremes that looking at every point gives', () => {
  fc.assert(
    fc.property(fc.array(level, { maxLength: 400 }), fc.nat(400), fc.nat(400), (values, a, b) => {
      const [start, end] = [Math.min(a, b, values.length), Math.min(Math.max(a, b), values.length)];
      const seen = values.slice(start, end).filter((value) => !Number.isNaN(value));
      const { least, most } = new MinMaxPyramid(Float64Array.from(values)).extremes(start, end);
      expect(least).toBe(seen.length === 0 ? NaN : Math.min(...seen));
      expect(most).toBe(seen.length === 0 ? NaN : Math.max(...seen));
    }),
    { seed: 11, numRuns: 500 },
  );
});

test('no point of the view is lost: the extremes over all columns are those of the points', () => {
  fc.assert(
    fc.property(
      fc.array(level, { minLength: 2, maxLength: 500 }),
      fc.integer({ min: 1, max: 40 }),
      (values, columns) => {
        const out = thinTrace(drawn(Float64Array.from(values)), null, { lowHz: 0, highHz: 1e9, columns });
        const seen = values.filter((value) => !Number.isNaN(value));
        const of = (list: Iterable<number>) => [...list].filter((value) => !Number.isNaN(value));
        expect(out.frequencyHz.length).toBe(Math.min(columns, values.length));
        expect(Math.min(...of(out.minimumDb))).toBe(Math.min(...seen));
        expect(Math.max(...of(out.maximumDb))).toBe(Math.max(...seen));
      },
    ),
    { seed: 12, numRuns: 300 },
  );
});

test('few points are given as they are, with a neighbour beyond either edge of the view', () => {
  const out = thinTrace(drawn(Float64Array.of(1, 2, NaN, 4, 5, 6)), null, { lowHz: 1015, highHz: 1030, columns: 100 });
  expect(out.thinned).toBe(false);
  expect([...out.frequencyHz]).toEqual([1010, 1020, 1030, 1040]);
  expect([...out.maximumDb]).toEqual([2, NaN, 4, 5]);
  expect(out.minimumDb).toEqual(out.maximumDb);
  expect(out.floorDb.length).toBe(0);
});

test.each([
  { lowHz: 0, highHz: 500, points: 1 },
  { lowHz: 5000, highHz: 6000, points: 1 },
  { lowHz: 1000, highHz: 1000, points: 2 },
  { lowHz: 0, highHz: 1e9, points: 6 },
])('a view from $lowHz to $highHz Hz holds $points points', ({ lowHz, highHz, points }) => {
  const out = thinTrace(drawn(new Float64Array(6)), null, { lowHz, highHz, columns: 100 });
  expect(out.frequencyHz.length).toBe(points);
});

test('floor and threshold come along at each column’s first point', () => {
  const levelDb = new Float64Array(1000).fill(-90);
  levelDb[777] = -20;
  const meanDb = Float64Array.from(levelDb, (_, i) => -100 + i / 100);
  const out = thinTrace(
    drawn(levelDb),
    { meanDb, thresholdDb: meanDb.map((value) => value + 10) },
    { lowHz: 0, highHz: 1e9, columns: 10 },
  );
  expect(out.thinned).toBe(true);
  expect(out.maximumDb[7]).toBe(-20);
  expect(out.minimumDb[7]).toBe(-90);
  expect(out.floorDb[7]).toBeCloseTo(-93, 12);
  expect(out.thresholdDb[7]).toBeCloseTo(-83, 12);
});

test('columns of equal ratio lose no point either, and begin ever further apart', () => {
  const frequencyHz = Float64Array.from({ length: 5000 }, (_, i) => 1e4 + 2e3 * i);
  const levelDb = Float64Array.from({ length: 5000 }, (_, i) => -100 + ((i * 7919) % 97) / 10);
  levelDb[3] = -20;
  levelDb[4321] = -10;
  const trace = { frequencyHz, levelDb, pyramid: new MinMaxPyramid(levelDb) };
  const view = { lowHz: 0, highHz: 1e7, columns: 300, spacing: 'logarithmic' as const };
  const out = thinTrace(trace, null, view);
  expect(out.thinned).toBe(true);
  expect(out.frequencyHz.length).toBeLessThanOrEqual(300);
  expect(Math.max(...out.maximumDb)).toBe(-10);
  expect([...out.maximumDb]).toContain(-20);
  expect(Math.min(...out.minimumDb)).toBe(Math.min(...levelDb));
  const ratios = [...out.frequencyHz].slice(1).map((hz, i) => hz / out.frequencyHz[i]!);
  expect(Math.max(...ratios.slice(-100))).toBeLessThan(1.06);
  expect(out.frequencyHz.at(-1)! - out.frequencyHz.at(-2)!).toBeGreaterThan(
    10 * (out.frequencyHz[1]! - out.frequencyHz[0]!),
  );
});
