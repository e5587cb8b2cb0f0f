import { describe, expect, test } from 'vitest';
import { largestExponential, largestNormal } from '../../../src-main/engine/numeric/largest-of-many.ts';
import { seededNormal, seededRandom } from '../tracking/seeded-random.ts';

describe('largestExponential(count)', () => {
  // mean power of the largest of M looks: harmonic numbers, +1.761, +4.667, +7.150 dB (exact)
  test.each([
    [2, 1.761],
    [10, 4.667],
    [100, 7.15],
  ])('mean of the largest of %i is the harmonic number, %d dB', (count, db) => {
    expect(Math.abs(10 * Math.log10(largestExponential(count).mean) - db)).toBeLessThan(0.001);
  });

  test('one look: mean 1, deviation 1, mean logarithm −γ, deviation of the logarithm π/√6', () => {
    const one = largestExponential(1);
    expect(one.mean).toBeCloseTo(1, 4);
    expect(one.sd).toBeCloseTo(1, 4);
    expect(one.meanLog).toBeCloseTo(-0.5772156649, 4);
    expect(one.sdLog).toBeCloseTo(Math.PI / Math.sqrt(6), 4);
  });

  test('variance is Σ1/k² and the mean logarithm that of the alternating sum, for the largest of three', () => {
    const three = largestExponential(3);
    expect(three.sd).toBeCloseTo(Math.sqrt(1 + 1 / 4 + 1 / 9), 3);
    expect(three.meanLog).toBeCloseTo(-0.5772156649 + 3 * Math.log(2) - Math.log(3), 3);
  });
});

describe('largestNormal(count)', () => {
  // order statistics of normal samples (tables of Teichroew 1956, from memory; agree with numerical integration by SciPy)
  test.each([
    [2, 0.5642, 0.8256],
    [4, 1.0294, 0.7012],
    [10, 1.5388, 0.5868],
    [100, 2.5076, 0.4294],
  ])('of %i has mean %d and deviation %d', (count, mean, sd) => {
    expect(Math.abs(largestNormal(count).mean - mean)).toBeLessThan(3e-4);
    expect(Math.abs(largestNormal(count).sd - sd)).toBeLessThan(3e-4);
  });

  test('agrees with drawing samples', () => {
    const normal = seededNormal(seededRandom(3));
    let sum = 0;
    const trials = 20_000;
    for (let t = 0; t < trials; t++) {
      let most = -Infinity;
      for (let k = 0; k < 7; k++) most = Math.max(most, normal());
      sum += most;
    }
    const seven = largestNormal(7);
    expect(Math.abs(sum / trials - seven.mean)).toBeLessThan((4 * seven.sd) / Math.sqrt(trials));
  });
});
