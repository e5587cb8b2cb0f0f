import { describe, expect, it } from 'vitest';
import {
  noncentralChiSquareCdf,
  noncentralityWithCdf,
} from '../../../src-main/engine/numeric/noncentral-chi-square.ts';
import { signalForDetection } from '../../../src-main/engine/numeric/noncentral-gamma.ts';
import { seededNormal, seededRandom } from '../tracking/seeded-random.ts';

describe('noncentralChiSquareCdf', () => {
  // scipy.stats.ncx2.cdf, SciPy 1.10.1
  it.each([
    [10, 4, 3, 0.7837631816817809],
    [300, 200, 80, 0.7761374751011636],
    [20000, 2000, 18000, 0.501421736933622],
    [1, 2, 40, 1.8639205172607436e-8],
    [30.5, 7.3, 11.1, 0.9280326205874916],
  ])('of %d with %d degrees and non-centrality %d is what SciPy gives', (x, degrees, lambda, expected) => {
    expect(Math.abs(noncentralChiSquareCdf(x, degrees, lambda) - expected)).toBeLessThan(1e-9);
  });

  it('is 1 − e^(−x/2) for two degrees and no non-centrality', () => {
    for (const x of [0.1, 1, 2, 10]) expect(noncentralChiSquareCdf(x, 2, 0)).toBeCloseTo(1 - Math.exp(-x / 2), 12);
  });

  it('is 0 at and below zero, grows with x and falls with the non-centrality', () => {
    expect(noncentralChiSquareCdf(0, 4, 3)).toBe(0);
    expect(noncentralChiSquareCdf(-1, 4, 3)).toBe(0);
    for (let x = 1; x < 60; x += 3) {
      expect(noncentralChiSquareCdf(x + 1, 8, 12)).toBeGreaterThan(noncentralChiSquareCdf(x, 8, 12));
      expect(noncentralChiSquareCdf(x, 8, 13)).toBeLessThan(noncentralChiSquareCdf(x, 8, 12));
    }
  });

  it('is the share of sums of squared shifted normals that stay below', () => {
    const normal = seededNormal(seededRandom(5));
    let below = 0;
    const trials = 40_000;
    for (let trial = 0; trial < trials; trial++) {
      let sum = 0;
      for (let k = 0; k < 6; k++) sum += (normal() + (k === 0 ? Math.sqrt(7) : 0)) ** 2;
      if (sum <= 11) below++;
    }
    // four standard deviations of the share
    expect(Math.abs(below / trials - noncentralChiSquareCdf(11, 6, 7))).toBeLessThan(4 * Math.sqrt(0.25 / trials));
  });
});

describe('noncentralityWithCdf', () => {
  it('undoes the distribution function', () => {
    for (const [x, degrees] of [
      [5, 2],
      [40, 20],
      [400, 200],
      [3000, 32],
    ] as const)
      expect(noncentralChiSquareCdf(x, degrees, noncentralityWithCdf(x, degrees, 0.05))).toBeCloseTo(0.05, 8);
  });

  it('is zero where even pure noise exceeds the value nearly always', () => {
    expect(noncentralityWithCdf(0.01, 20, 0.05)).toBe(0);
  });

  it('agrees with the slow sum of tails: signalForDetection', () => {
    for (const [looks, threshold] of [
      [1, 3],
      [4, 2],
      [16, 1.2],
    ] as const)
      expect(noncentralityWithCdf(2 * looks * threshold, 2 * looks, 0.05) / (2 * looks)).toBeCloseTo(
        signalForDetection(looks, threshold, 0.95),
        6,
      );
  });
});
