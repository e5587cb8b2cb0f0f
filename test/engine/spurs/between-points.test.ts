import { describe, expect, test } from 'vitest';
import { lossBetweenPoints } from '../../../src-main/engine/spurs/between-points.ts';

describe('lossBetweenPoints(spacingHz, rbwHz)', () => {
  test.each([0.5, 1, 1.5, 2])(
    'a Gaussian of spacing %f bandwidths: 1.003·s² and 0.897·s² dB (∫ 40·log₁₀2·x² over ± s/2, by hand)',
    (s) => {
      const loss = 40 * Math.log10(2);
      const { meanDb, sigmaDb } = lossBetweenPoints(1000 * s, 1000);
      // mean of x² over ± s/2 is s²/12; its standard deviation s²/(6·√5)
      expect(meanDb / ((loss * s * s) / 12)).toBeCloseTo(1, 3);
      expect(sigmaDb / ((loss * s * s) / (6 * Math.sqrt(5)))).toBeCloseTo(1, 2);
    },
  );

  test('at half a point’s worst place the loss is the filter’s own 3.01 dB, and no mean exceeds it', () => {
    expect(lossBetweenPoints(1, 1).meanDb).toBeLessThan(3.0103);
  });

  test('does not grow on beyond two bandwidths, where most lines between points are not seen', () => {
    expect(lossBetweenPoints(9000, 1000)).toEqual(lossBetweenPoints(2000, 1000));
  });
});
