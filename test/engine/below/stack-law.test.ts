import { describe, expect, it } from 'vitest';
import { stackLaw } from '../../../src-main/engine/below/stack-law.ts';
import { skewedTail } from '../../../src-main/engine/numeric/skewed-tail.ts';
import { logGammaTail } from '../../../src-main/engine/numeric/gamma.ts';
import type { Averaging } from '../../../src-main/model/capture.ts';
import { UNKNOWN_SETTINGS } from '../../../src-main/model/capture.ts';
import type { Floor } from '../../../src-main/model/floor.ts';
import { seeded } from '../attribution/scene.ts';

const law = (averaging: Averaging, medianOverMeanDb: number, averages = 16) =>
  stackLaw({ ...UNKNOWN_SETTINGS, averaging, averages }, { medianOverMeanDb } as Floor)!;

describe('stackLaw', () => {
  it('takes averaged decibels up by ln S + E₁(S) + γ', () => {
    // E₁(1) = 0.219383934 (Abramowitz & Stegun, table 5.1)
    expect(law('log', -2.45).rise(1)).toBeCloseTo(0.219383934 + 0.5772156649, 8);
    expect(law('log', -2.45).rise(1e-6)).toBeCloseTo(1e-6, 9);
  });

  it('knows the mean of held noise: the harmonic number of the sweeps, +4.667 dB for ten', () => {
    // mean of the largest of M exponentials is Σ1/k (elementary); averaged over several holds
    expect(10 * Math.log10(law('power', 4.667).base!)).toBeCloseTo(4.667, 1);
  });

  it('knows the mean amplitude of a line in noise (Rice): √π/2·e^(−½)·(2·I₀(½) + I₁(½)) at S = 1', () => {
    // I₀(½) = 1.0634833707, I₁(½) = 0.2578943054 (Abramowitz & Stegun, table 9.8; from memory, checked by series)
    const rice = (Math.sqrt(Math.PI) / 2) * Math.exp(-0.5) * (2 * 1.0634833707 + 0.2578943054);
    expect(law('voltage', -1).rise(1)).toBeCloseTo(rice - Math.sqrt(Math.PI) / 2, 2);
    expect(law('voltage', -1).base).toBeCloseTo(Math.sqrt(Math.PI) / 2, 3);
  });

  it('agrees with sweeps drawn one by one, for the largest of ten', () => {
    const { normal } = seeded(11);
    // the median of the largest of ten looks stands 4.319 dB over their mean
    const held = law('max-hold', 4.319);
    for (const signal of [0.3, 1, 3]) {
      let sum = 0;
      const draws = 4000;
      for (let i = 0; i < draws; i++) {
        const largest = (s: number): number => {
          let top = 0;
          for (let k = 0; k < 10; k++)
            top = Math.max(top, (Math.sqrt(s) + normal() * Math.SQRT1_2) ** 2 + (normal() * Math.SQRT1_2) ** 2);
          return Math.log(top);
        };
        sum += largest(signal) - largest(0);
      }
      expect(Math.abs(held.rise(signal) - sum / draws), `S = ${signal}`).toBeLessThan(0.04);
    }
  });

  it('turns back what it did, and has nothing to say where minima were kept', () => {
    for (const one of [law('power', -0.09), law('log', -2.4), law('max-hold', 4.3), law('voltage', -1)])
      for (const signal of [0.1, 0.5, 2]) expect(one.signalOf(one.rise(signal))).toBeCloseTo(signal, 3);
    expect(stackLaw({ ...UNKNOWN_SETTINGS, averaging: 'min-hold' }, { medianOverMeanDb: -3 } as Floor)).toBeNull();
  });
});

describe('skewedTail', () => {
  it('is exact for a mean of equal powers, and normal without skewness', () => {
    // 50 looks: shape 50, skewness 2/√50
    for (const z of [0, 1, 3, 5])
      expect(skewedTail(z, 2 / Math.sqrt(50))).toBeCloseTo(Math.exp(logGammaTail(50, 50 + z * Math.sqrt(50))), 12);
    expect(skewedTail(1.6448536, 0)).toBeCloseTo(0.05, 6);
    expect(skewedTail(3, -1)).toBeCloseTo(0.0013499, 6);
  });
});
