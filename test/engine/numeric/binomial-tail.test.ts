import { describe, expect, test } from 'vitest';
import { logBinomialTail, logPoissonBinomialTail } from '../../../src-main/engine/numeric/binomial-tail.ts';
import { seededRandom } from '../tracking/seeded-random.ts';

describe('logBinomialTail(k, n, p)', () => {
  // chance coincidences of 100 harmonics with a list of lines, table computed with scipy: least k with P(X ≥ k) < 1e-6
  test.each([
    [0.0198, 100, 12],
    [0.002, 100, 6],
    [0.18127, 100, 39],
    [0.00995, 60, 8],
  ])('at p = %d, %i trials: %i is the least number less likely than one in a million', (p, n, k) => {
    expect(logBinomialTail(k, n, p)).toBeLessThan(Math.log(1e-6));
    expect(logBinomialTail(k - 1, n, p)).toBeGreaterThan(Math.log(1e-6));
  });

  test('at least one of a hundred at p = 0.0198 has chance 0.865', () => {
    expect(Math.exp(logBinomialTail(1, 100, 0.0198))).toBeCloseTo(0.865, 3);
  });

  test('agrees with counting all outcomes of five throws', () => {
    const p = 0.3;
    for (let k = 0; k <= 5; k++) {
      let sum = 0;
      for (let outcome = 0; outcome < 32; outcome++) {
        const successes = outcome.toString(2).replaceAll('0', '').length;
        if (successes >= k) sum += p ** successes * (1 - p) ** (5 - successes);
      }
      expect(Math.exp(logBinomialTail(k, 5, p))).toBeCloseTo(sum, 12);
    }
  });

  test('edges: certain, impossible, and far beyond what a double holds', () => {
    expect(logBinomialTail(0, 10, 0.1)).toBe(0);
    expect(logBinomialTail(11, 10, 0.1)).toBe(-Infinity);
    expect(logBinomialTail(3, 10, 0)).toBe(-Infinity);
    expect(logBinomialTail(3, 10, 1)).toBe(0);
    expect(logBinomialTail(1000, 1000, 1e-3) / (1000 * Math.log(1e-3))).toBeCloseTo(1, 9);
  });
});

describe('logPoissonBinomialTail(k, ps)', () => {
  test('is the binomial tail where all chances are equal', () => {
    for (const [k, n, p] of [
      [3, 20, 0.1],
      [15, 20, 0.9],
      [40, 50, 0.01],
    ] as const)
      expect(logPoissonBinomialTail(k, new Float64Array(n).fill(p))).toBeCloseTo(logBinomialTail(k, n, p), 8);
  });

  test('agrees with counting all outcomes of unequal chances', () => {
    const uniform = seededRandom(4);
    const ps = Array.from({ length: 8 }, () => uniform());
    for (let k = 0; k <= 8; k++) {
      let sum = 0;
      for (let outcome = 0; outcome < 256; outcome++) {
        let chance = 1;
        let successes = 0;
        ps.forEach((p, i) => {
          const yes = (outcome >> i) & 1;
          successes += yes;
          chance *= yes === 1 ? p : 1 - p;
        });
        if (successes >= k) sum += chance;
      }
      expect(Math.exp(logPoissonBinomialTail(k, ps))).toBeCloseTo(sum, 12);
    }
  });

  test('edges: none needed, more than there are, sure and impossible trials', () => {
    expect(logPoissonBinomialTail(0, [0.5])).toBe(0);
    expect(logPoissonBinomialTail(2, [0.5])).toBe(-Infinity);
    expect(logPoissonBinomialTail(2, [1, 1, 0])).toBe(0);
    expect(logPoissonBinomialTail(3, [1, 1, 0])).toBe(-Infinity);
  });
});
