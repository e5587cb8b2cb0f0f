import { describe, expect, it } from 'vitest';
import { DEFAULT_COMPARE_SETTINGS } from '../../../src-main/model/compare-settings.ts';
import { doubtsOf, judgeSeenTwice, provenDb, type Doubts } from '../../../src-main/engine/tracking/judge-track.ts';
import type { Repeatability } from '../../../src-main/engine/tracking/repeatability.ts';
import { seededNormal, seededRandom } from './seeded-random.ts';

const NO_DIFFERENCE = { gainDoubtDb: 0, chainSigmaDb: 0, dropDoubt: null, riseDoubt: null };

function repeatability(oneDb: number, degrees = Infinity): Repeatability {
  return { oneDb, beforeDb: oneDb, afterDb: oneDb, degrees, from: '' };
}

function doubts(rate: number, repeats: Repeatability): Doubts {
  return doubtsOf(
    { ...DEFAULT_COMPARE_SETTINGS, changeRate: rate },
    repeats,
    { name: 'dBm', comparable: true },
    NO_DIFFERENCE,
  );
}

/** Power of K looks at a line of power `signal` in noise of mean power 1. */
function power(averages: number, signal: number, normal: () => number): number {
  let sum = 0;
  for (let k = 0; k < averages; k++)
    sum += (Math.sqrt(signal) + normal() * Math.SQRT1_2) ** 2 + (normal() * Math.SQRT1_2) ** 2;
  return sum / averages;
}

const db = (value: number) => 10 * Math.log10(value);

describe('unlike calibration chains', () => {
  const level = (levelDb: number, sigmaDb: number) => ({ levelDb, sigmaDb });
  const apart: Doubts = { ...doubts(1e-3, repeatability(0.4)), chainSigmaDb: 0.5 };
  const alike: Doubts = { ...apart, chainSigmaDb: 0 };

  it('add their doubt to that of a change, and a fall that only they could explain is none', () => {
    // √(0.3² + 0.3² + 0.4² + 0.4² + 0.5²) = √0.75, and without the chains √0.5 (worked by hand)
    const change = (of: Doubts) => judgeSeenTwice(level(-80, 0.3), level(-82.3, 0.3), of);
    expect(change(apart).changeSigmaDb).toBeCloseTo(Math.sqrt(0.75), 12);
    expect(change(alike).changeSigmaDb).toBeCloseTo(Math.sqrt(0.5), 12);
    expect(change(alike).status).toBe('persists');
    const large = (of: Doubts) => judgeSeenTwice(level(-80, 0.3), level(-82.6, 0.3), of).status;
    expect([large(alike), large(apart)]).toEqual(['weaker', 'persists']);
  });

  it('lower what is proven of a line that is no longer seen, by the quantile of the limit', () => {
    const proven = (of: Doubts) => provenDb(level(-80, 0.3), -100, of);
    expect(proven(alike) - proven(apart)).toBeCloseTo(alike.zLimit * (Math.hypot(0.3, 0.5) - 0.3), 12);
  });
});

describe('judgeSeenTwice', () => {
  // σ of the dB of a steady line of S/N ρ: 4.343·√(1 + 2ρ)/((1 + ρ)√K); check values 20 dB: 0.610 (K = 1), 0.193 (K = 10);
  // 10 dB: 0.572 (K = 10), 0.181 (K = 100).
  it.each([
    [1, 20, 0.61],
    [10, 20, 0.193],
    [10, 10, 0.572],
    [100, 10, 0.181],
  ])('sees lines of %d averages at %d dB scatter by the published %d dB', (averages, overDb, published) => {
    const normal = seededNormal(seededRandom(31));
    const values = Array.from({ length: 4000 }, () => db(power(averages, 10 ** (overDb / 10), normal)));
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    const sigma = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
    expect(Math.abs(sigma / published - 1)).toBeLessThan(0.06);
  });

  it.each([
    [0.05, 16, 20],
    [0.05, 100, 10],
    [0.0027, 64, 20],
  ])(
    'calls an unchanged line changed at the stated rate %d (K = %d, %d dB, set-up scattering by 1 dB)',
    (rate, averages, overDb) => {
      const normal = seededNormal(seededRandom(41));
      const signal = 10 ** (overDb / 10);
      const sigmaDb = ((10 / Math.LN10) * Math.sqrt(1 + 2 * signal)) / ((1 + signal) * Math.sqrt(averages));
      const judged = doubts(rate, repeatability(1));
      const trials = 6000;
      let changed = 0;
      for (let trial = 0; trial < trials; trial++) {
        const side = () => ({ levelDb: db(power(averages, signal, normal) - 1) + normal(), sigmaDb });
        if (judgeSeenTwice(side(), side(), judged).status !== 'persists') changed++;
      }
      // four standard deviations of a binomial share, and a tenth for the tails of decibels
      expect(Math.abs(changed / trials - rate)).toBeLessThan(4 * Math.sqrt(rate / trials) + 0.1 * rate);
    },
  );

  it('keeps its rate with a repeatability from three re-rigged files a side', () => {
    const normal = seededNormal(seededRandom(51));
    const trials = 6000;
    let changed = 0;
    for (let trial = 0; trial < trials; trial++) {
      const before = [normal(), normal(), normal()];
      const after = [normal(), normal(), normal()];
      const mean = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
      const squares = (values: number[]) => values.reduce((sum, value) => sum + (value - mean(values)) ** 2, 0);
      const oneDb = Math.sqrt((squares(before) + squares(after)) / 4);
      const known = { oneDb, beforeDb: oneDb / Math.sqrt(3), afterDb: oneDb / Math.sqrt(3), degrees: 4, from: '' };
      const status = judgeSeenTwice(
        { levelDb: mean(before), sigmaDb: 0 },
        { levelDb: mean(after), sigmaDb: 0 },
        doubts(0.05, known),
      ).status;
      if (status !== 'persists') changed++;
    }
    expect(Math.abs(changed / trials - 0.05)).toBeLessThan(4 * Math.sqrt(0.05 / trials));
  });

  it('needs more for a change where the gain differs, by as much as it differs', () => {
    const judged = { ...doubts(0.0027, repeatability(1)), gainDoubtDb: 10 };
    expect(judgeSeenTwice({ levelDb: -50, sigmaDb: 0 }, { levelDb: -64, sigmaDb: 0 }, judged).status).toBe('persists');
    expect(judgeSeenTwice({ levelDb: -50, sigmaDb: 0 }, { levelDb: -65, sigmaDb: 0 }, judged).status).toBe('weaker');
  });
});

describe('provenDb', () => {
  it('is the level less its doubt, the limit, and the doubt of two set-ups at 95 %, one-sided', () => {
    const judged = doubts(0.0027, repeatability(1));
    expect(provenDb({ levelDb: -70, sigmaDb: 0.5 }, -95, judged)).toBeCloseTo(25 - 1.6449 * (0.5 + Math.SQRT2), 3);
  });
});
