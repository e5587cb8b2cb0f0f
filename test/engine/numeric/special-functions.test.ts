import { describe, expect, test } from 'vitest';
import { digamma, gammaTailInverse, logGamma, logGammaTail, trigamma } from '../../../src-main/engine/numeric/gamma.ts';
import { detectionProbability, signalForDetection } from '../../../src-main/engine/numeric/noncentral-gamma.ts';
import { normalTail, normalTailInverse } from '../../../src-main/engine/numeric/normal.ts';

const dB = (x: number): number => 10 * Math.log10(x);

describe('gamma functions', () => {
  test('logGamma: factorials and Γ(1/2) = √π', () => {
    let factorial = 1;
    for (let n = 1; n < 20; n++) {
      expect(logGamma(n)).toBeCloseTo(Math.log(factorial), 10);
      factorial *= n;
    }
    expect(logGamma(0.5)).toBeCloseTo(0.5 * Math.log(Math.PI), 12);
    expect(logGamma(0.1)).toBeCloseTo(2.252712651734206, 10); // scipy.special.gammaln
  });

  test('digamma and trigamma: ψ(1) = −γ, ψ₁(1) = π²/6, and the recurrence', () => {
    expect(digamma(1)).toBeCloseTo(-0.5772156649015329, 12);
    expect(trigamma(1)).toBeCloseTo(Math.PI ** 2 / 6, 12);
    for (const x of [0.3, 2.7, 15]) {
      expect(digamma(x + 1)).toBeCloseTo(digamma(x) + 1 / x, 12);
      expect(trigamma(x + 1)).toBeCloseTo(trigamma(x) - 1 / x ** 2, 12);
    }
  });

  test('gamma tail: exponential for one look, a Poisson sum for whole numbers', () => {
    for (const x of [0.1, 1, 5, 30]) expect(logGammaTail(1, x)).toBeCloseTo(-x, 10);
    for (const [a, x] of [
      [4, 2],
      [10, 14],
      [16, 40],
    ] as const) {
      let sum = 0;
      for (let j = 0; j < a; j++) sum += Math.exp(-x + j * Math.log(x) - logGamma(j + 1));
      expect(logGammaTail(a, x)).toBeCloseTo(Math.log(sum), 9);
    }
  });

  // statistics of averaged periodograms, table computed with scipy: dB above the mean for P_fa 1e-3, 1e-4, 1e-6, 1e-8
  test.each([
    [1, [8.393, 9.643, 11.404, 12.653]],
    [4, [5.14, 5.997, 7.273, 8.226]],
    [10, [3.552, 4.182, 5.147, 5.888]],
    [16, [2.906, 3.435, 4.255, 4.892]],
    [64, [1.557, 1.855, 2.33, 2.711]],
    [100, [1.264, 1.508, 1.901, 2.218]],
    [1000, [0.416, 0.5, 0.636, 0.747]],
  ] as const)('false-alarm thresholds of %i averages agree with the table to 0.001 dB', (looks, expected) => {
    for (const [i, p] of [1e-3, 1e-4, 1e-6, 1e-8].entries())
      expect(Math.abs(dB(gammaTailInverse(looks, p) / looks) - expected[i]!)).toBeLessThan(0.00051);
  });
});

describe('detection of a steady line in averaged noise', () => {
  // table computed with scipy.stats.ncx2; P_fa 1e-6
  test('one look: Pd 0.2480, 0.6794, 0.9021, 0.9721 at 10, 12, 13.2, 14 dB', () => {
    const threshold = gammaTailInverse(1, 1e-6);
    for (const [snr, pd] of [
      [10, 0.248],
      [12, 0.6794],
      [13.2, 0.9021],
      [14, 0.9721],
    ] as const)
      expect(detectionProbability(1, threshold, 10 ** (snr / 10))).toBeCloseTo(pd, 3);
  });

  test.each([
    [1, 11.243, 13.662],
    [10, 3.651, 5.671],
    [100, -2.57, -0.928],
  ])('%i looks: Pd 0.5 and 0.95 at the tabled line powers', (looks, half, most) => {
    const threshold = gammaTailInverse(looks, 1e-6) / looks;
    expect(dB(signalForDetection(looks, threshold, 0.5))).toBeCloseTo(half, 2);
    expect(dB(signalForDetection(looks, threshold, 0.95))).toBeCloseTo(most, 2);
  });

  test('many looks: the Gaussian form meets the exact one where it takes over, and answers at once', () => {
    for (const looks of [900, 1100]) {
      const threshold = gammaTailInverse(looks, 1e-6) / looks;
      const signal = signalForDetection(looks, threshold, 0.95);
      expect(detectionProbability(looks, threshold, signal)).toBeCloseTo(0.95, 2);
    }
    expect(signalForDetection(1e5, 25, 0.95)).toBeCloseTo(24, 0);
  });

  test('without a line it is the false-alarm probability', () => {
    expect(detectionProbability(8, gammaTailInverse(8, 1e-4) / 8, 0)).toBeCloseTo(1e-4, 8);
  });
});

test('normal tail: 0.158655 at one σ, 0.00134990 at three, and its inverse', () => {
  expect(normalTail(1)).toBeCloseTo(0.15865525393, 9);
  expect(normalTail(3)).toBeCloseTo(0.0013498980316, 10);
  expect(normalTail(-1)).toBeCloseTo(1 - 0.15865525393, 9);
  for (const p of [0.5, 0.025, 1e-6]) expect(normalTail(normalTailInverse(p))).toBeCloseTo(p, 12);
});
