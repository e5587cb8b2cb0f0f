import { describe, expect, test } from 'vitest';
import { MinMaxPyramid } from '../../../src-main/api/min-max-pyramid.ts';
import { waterfallRow } from '../../../src-main/api/steps/waterfall-row.ts';
import { seededRandom } from '../../engine/tracking/seeded-random.ts';

const drawn = (levels: readonly number[], startHz = 1000, stepHz = 10) => {
  const levelDb = Float64Array.from(levels);
  return {
    frequencyHz: Float64Array.from(levels, (_, i) => startHz + i * stepHz),
    levelDb,
    pyramid: new MinMaxPyramid(levelDb),
  };
};

describe('waterfallRow(trace, view)', () => {
  test('each column holds the largest of its points: ten points in two columns', () => {
    const row = waterfallRow(drawn([1, 2, 9, 2, 1, 0, 0, 5, 0, 0]), { lowHz: 1000, highHz: 1100, columns: 2 });
    expect([...row]).toEqual([9, 5]);
  });

  test('finer than the points, a column shows the nearest one', () => {
    const row = waterfallRow(drawn([1, 7]), { lowHz: 1000, highHz: 1010, columns: 4 });
    expect([...row]).toEqual([1, 1, 7, 7]);
  });

  test('outside the trace and at blank points there is no value', () => {
    const row = waterfallRow(drawn([1, NaN, 3]), { lowHz: 968, highHz: 1048, columns: 8 });
    expect([...row]).toEqual([NaN, NaN, NaN, 1, NaN, 3, NaN, NaN]);
  });

  test('no line is lost: the largest of the row is the largest of the points, whatever the columns', () => {
    const random = seededRandom(8);
    const levels = Array.from({ length: 1000 }, () => -100 + 30 * random());
    for (const columns of [1, 7, 64, 999, 1000, 3000])
      expect(Math.max(...waterfallRow(drawn(levels), { lowHz: 995, highHz: 10_995, columns }))).toBe(
        Math.fround(Math.max(...levels)),
      );
  });

  test('an empty trace gives an empty row', () => {
    expect(waterfallRow(drawn([]), { lowHz: 0, highHz: 1, columns: 3 }).every(Number.isNaN)).toBe(true);
  });
});
