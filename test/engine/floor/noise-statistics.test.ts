import { describe, expect, test } from 'vitest';
import { medianOverMeanDb, spreadDb } from '../../../src-main/engine/floor/noise-statistics.ts';
import { seededNormal, seededRandom } from '../tracking/seeded-random.ts';

// The ratio of two independent K-average powers follows Fisher's F of 2K and 2K degrees: computed from that law, common practice.
describe('spreadDb(looks)', () => {
  test.each([
    [1, 7.877],
    [4, 3.272],
    [10, 1.992],
    [16, 1.56],
    [32, 1.094],
    [64, 0.771],
    [100, 0.616],
    [256, 0.384],
    [1000, 0.194],
  ])('noise of %i averages before and after differs by %f dB, one standard deviation', (looks, differenceDb) => {
    expect(Math.SQRT2 * spreadDb(looks)).toBeCloseTo(differenceDb, 3);
  });

  test('one look of noise scatters by 10/ln 10 · π/√6 dB (exact)', () => {
    expect(spreadDb(1)).toBeCloseTo(((10 / Math.LN10) * Math.PI) / Math.sqrt(6), 12);
  });

  test('powers of complex noise that are averaged by hand scatter so, and have that median', () => {
    const normal = seededNormal(seededRandom(5));
    const looks = 4;
    const levels = Array.from({ length: 40_000 }, () => {
      let power = 0;
      for (let k = 0; k < 2 * looks; k++) power += normal() ** 2 / (2 * looks);
      return 10 * Math.log10(power);
    }).sort((a, b) => a - b);
    const mean = levels.reduce((sum, level) => sum + level, 0) / levels.length;
    const variance = levels.reduce((sum, level) => sum + (level - mean) ** 2, 0) / levels.length;
    expect(Math.sqrt(variance) / spreadDb(looks)).toBeCloseTo(1, 1);
    expect(levels[20_000]).toBeCloseTo(medianOverMeanDb(looks), 1);
  });
});
