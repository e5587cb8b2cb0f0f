import { describe, expect, it } from 'vitest';
import { lineLimitOverNoiseDb, lineLimitTable } from '../../../src-main/engine/tracking/line-limit.ts';
import { seededNormal, seededRandom } from './seeded-random.ts';

describe('lineLimitOverNoiseDb', () => {
  // Limit for a point that just misses a threshold of false-alarm probability 1e-6 = the line found with probability 0.95.
  // Thresholds and Pd 0.95 points from the table computed with SciPy ("Detection", K = 1, 10, 100).
  it.each([
    [1, 11.404, 13.662],
    [10, 5.147, 5.671],
    [100, 1.901, -0.928],
  ])('of a point of %d averages at the threshold %d dB is %d dB', (averages, thresholdDb, expected) => {
    expect(lineLimitOverNoiseDb(thresholdDb, averages, 0.95)).toBeCloseTo(expected, 2);
  });

  it('holds for 95 % of points over a steady line, and for more where the point dips below the mean', () => {
    const normal = seededNormal(seededRandom(21));
    const averages = 8;
    const signal = 10 ** (3 / 10);
    let held = 0;
    const trials = 3000;
    for (let trial = 0; trial < trials; trial++) {
      let power = 0;
      for (let k = 0; k < averages; k++)
        power += (Math.sqrt(signal) + normal() * Math.SQRT1_2) ** 2 + (normal() * Math.SQRT1_2) ** 2;
      if (lineLimitOverNoiseDb(10 * Math.log10(power / averages), averages, 0.95) >= 3) held++;
    }
    expect(Math.abs(held / trials - 0.95)).toBeLessThan(4 * Math.sqrt((0.95 * 0.05) / trials));
  });

  it('does not fall below that of a point at the mean', () => {
    expect(lineLimitOverNoiseDb(-6, 4, 0.95)).toBe(lineLimitOverNoiseDb(0, 4, 0.95));
  });

  it('grows with the point and with the confidence, and falls with the averages', () => {
    for (let over = 0; over < 14; over += 1.7)
      expect(lineLimitOverNoiseDb(over + 0.5, 16, 0.95)).toBeGreaterThan(lineLimitOverNoiseDb(over, 16, 0.95));
    expect(lineLimitOverNoiseDb(2, 16, 0.99)).toBeGreaterThan(lineLimitOverNoiseDb(2, 16, 0.95));
    expect(lineLimitOverNoiseDb(2, 64, 0.95)).toBeLessThan(lineLimitOverNoiseDb(2, 16, 0.95));
  });
});

describe('lineLimitTable', () => {
  it.each([1, 4, 16, 100, 1000])(
    'is within 0.02 dB of the exact limit for %d averages, over the end of the table too',
    (averages) => {
      const table = lineLimitTable(averages, 0.95);
      for (const over of [0, 0.03, 0.77, 3.21, 9.99, 14.96, 15, 17.3, 25])
        expect(Math.abs(table(over) - lineLimitOverNoiseDb(over, averages, 0.95)), `${over} dB`).toBeLessThan(0.02);
    },
  );
});
