import { describe, expect, test } from 'vitest';
import { combineLevels, type LaidTrace } from '../../../src-main/api/steps/combine-levels.ts';
import { seededRandom } from '../../engine/tracking/seeded-random.ts';

const laid = (levels: readonly number[], more: Partial<LaidTrace> = {}): LaidTrace => ({
  file: 'a.csv',
  unit: 'dBm',
  frequencyHz: Float64Array.from(levels, (_, i) => 1e6 + 1e3 * i),
  levelDb: Float64Array.from(levels),
  ...more,
});

describe('combineLevels(traces, combine)', () => {
  test('the mean is one of powers: 0 and 10 dB give 7.404 dB (10·log10(5.5)); the largest is 10', () => {
    const pair = [laid([0, -30]), laid([10, -30])] as const;
    expect(combineLevels(pair, 'mean')[0]).toBeCloseTo(7.404, 3);
    expect(combineLevels(pair, 'mean')[1]).toBeCloseTo(-30, 12);
    expect([...combineLevels(pair, 'largest')]).toEqual([10, -30]);
  });

  test('a blank point is taken from the others; blank in all, it stays blank; no power at all is −∞', () => {
    const pair = [laid([NaN, NaN, -Infinity]), laid([-7, NaN, -Infinity])] as const;
    expect([...combineLevels(pair, 'largest')]).toEqual([-7, NaN, -Infinity]);
    expect([...combineLevels(pair, 'mean')]).toEqual([-7, NaN, -Infinity]);
  });

  test('the mean of seeded traces lies between their smallest and largest, and their order does not matter', () => {
    const random = seededRandom(3);
    const traces = Array.from({ length: 4 }, () => laid(Array.from({ length: 50 }, () => -100 + 40 * random())));
    const [a, b, c, d] = traces as [LaidTrace, LaidTrace, LaidTrace, LaidTrace];
    const mean = combineLevels([a, b, c, d], 'mean');
    const largest = combineLevels([a, b, c, d], 'largest');
    combineLevels([d, b, a, c], 'mean').forEach((level, i) => expect(level).toBeCloseTo(mean[i]!, 10));
    mean.forEach((level, i) => {
      expect(level).toBeLessThanOrEqual(largest[i]!);
      expect(level).toBeGreaterThanOrEqual(Math.min(...traces.map((trace) => trace.levelDb[i]!)));
    });
  });

  test.each([
    ['another number of points', laid([1])],
    ['another start', laid([1, 2], { frequencyHz: Float64Array.of(1.1e6, 1.101e6) })],
    ['another unit', laid([1, 2], { unit: 'dBµV' })],
  ])('%s is refused, with both files named', (_, other) => {
    expect(() => combineLevels([laid([1, 2]), { ...other, file: 'b.csv' }], 'mean')).toThrow(/a\.csv .*b\.csv/);
  });
});
