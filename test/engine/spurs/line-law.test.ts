import { describe, expect, test } from 'vitest';
import { lineLaw } from '../../../src-main/engine/spurs/line-law.ts';
import { UNKNOWN_SETTINGS, type CaptureSettings } from '../../../src-main/model/capture.ts';
import type { Floor } from '../../../src-main/model/floor.ts';
import { seededNormal, seededRandom } from '../tracking/seeded-random.ts';

const floorOf = (looks: number, medianOverMeanDb: number, pointSpreadDb: number): Floor => ({
  meanDb: new Float64Array(1),
  sigmaDb: 0.1,
  thresholdDb: new Float64Array(1),
  pairThresholdOverFloorDb: 5,
  medianOverMeanDb,
  looks,
  neighbourCorrelation: 0,
  statistic: 'robust-spread',
  averages: null,
  pointSpreadDb,
  windowPoints: 101,
  falseAlarmProbability: 1e-6,
  falseAlarmsExpected: 0.05,
  weakestDetectableOverFloorDb: 3,
  why: '',
  warnings: [],
});
const settings = (averaging: CaptureSettings['averaging'], averages: number): CaptureSettings => ({
  ...UNKNOWN_SETTINGS,
  averaging,
  averages,
});

/** Mean level in dB, over many trials, of a line of power S in noise of mean power 1 after `sweeps` sweeps. */
function meanLevelDb(signal: number, sweeps: number, averaging: 'power' | 'log' | 'max-hold', peakLooks = 1): number {
  const normal = seededNormal(seededRandom(11));
  let total = 0;
  const trials = 4000;
  for (let t = 0; t < trials; t++) {
    let sum = 0;
    for (let k = 0; k < sweeps; k++) {
      let power = 0;
      for (let m = 0; m < peakLooks; m++)
        power = Math.max(power, (Math.sqrt(signal) + normal() * Math.SQRT1_2) ** 2 + (normal() * Math.SQRT1_2) ** 2);
      if (averaging === 'max-hold') sum = Math.max(sum, power);
      else sum += (averaging === 'log' ? 10 * Math.log10(power) : power) / sweeps;
    }
    total += (averaging === 'log' ? sum : 10 * Math.log10(sum)) / trials;
  }
  return total;
}

describe('lineLaw(settings, floor)', () => {
  // σ = 4.343·√(1 + 2ρ)/((1 + ρ)·√K) dB, the law of a steady line in averaged powers: computed, common practice
  test.each([
    [10, 1, 1.809],
    [10, 10, 0.572],
    [10, 100, 0.181],
    [20, 1, 0.61],
    [20, 10, 0.193],
    [30, 1, 0.194],
  ])('a line of %i dB over the noise scatters in %i averages by %f dB', (overDb, averages, sigmaDb) => {
    const law = lineLaw(settings('power', averages), floorOf(averages, -0.09, 1.1));
    const signal = 10 ** (overDb / 10);
    expect(((10 / Math.LN10) * Math.sqrt(law.variance(signal))) / (1 + signal)).toBeCloseTo(sigmaDb, 3);
  });

  test('averaged powers read one plus the line: 3.010, 1.764, 0.973, 0.414, 0.043 dB high at 0, 3, 6, 10, 20 dB (exact)', () => {
    const law = lineLaw(settings('power', 16), floorOf(16, -0.09, 1.1));
    for (const [over, high] of [
      [0, 3.0103],
      [3, 1.7643],
      [6, 0.9732],
      [10, 0.4139],
      [20, 0.0432],
    ] as const)
      expect(10 * Math.log10(law.ratioOf(over + high) - 1)).toBeCloseTo(over, 3);
    expect(law.variance(10)).toBeCloseTo(21 / 16, 12);
  });

  test.each([
    ['log', 16, 1, -2.4, 1.39],
    ['max-hold', 10, 1, 4.319, 1.8],
    ['max-hold', 40, 1, 6.2, 1.4],
    ['power', 16, 3, 2.63, 0.69],
  ] as const)(
    '%s of %i sweeps, largest of %i looks: a simulated line gets its own power back',
    (kind, sweeps, looks, median, spread) => {
      const law = lineLaw(settings(kind, sweeps), floorOf(8, median, spread));
      for (const over of [6, 10, 20, 30]) {
        const signal = 10 ** (over / 10);
        const back = 10 * Math.log10(law.ratioOf(meanLevelDb(signal, sweeps, kind, looks)) - 1);
        expect(Math.abs(back - over)).toBeLessThan(over < 10 ? 0.3 : 0.15);
      }
    },
  );

  test('a strong held line is freed of what holding adds: 60 dB up still reads 0.014 dB high after 40 sweeps, 45 dB 0.08 dB', () => {
    // the largest of 40 normal variates has mean 2.16 (tabled, e.g. Harter 1961, from memory): 20·log10(1 + 2.16/√(2S))
    const law = lineLaw(settings('max-hold', 40), floorOf(8, 6.2, 1.4));
    for (const over of [46, 52, 60]) {
      const high = 20 * Math.log10(1 + 2.16 / Math.sqrt(2 * 10 ** (over / 10)));
      expect(Math.abs(10 * Math.log10(law.ratioOf(over + high)) - over)).toBeLessThan(0.15 * high);
    }
  });

  test('averaged decibels: neighbours whose powers are correlated by 0.5 show 0.354 (Li₂(½) = 0.5822405, handbook; over π²/6), and it is undone', () => {
    const law = lineLaw(settings('log', 16), floorOf(16, -2.4, 1.39));
    expect(law.powerCorrelation(0.5822405 / (Math.PI ** 2 / 6))).toBeCloseTo(0.5, 5);
    expect(law.powerCorrelation(0)).toBeCloseTo(0, 6);
    expect(lineLaw(settings('power', 16), floorOf(16, -0.09, 1.1)).powerCorrelation(0.5)).toBe(0.5);
  });

  test.each([
    ['log', 12, 0.75],
    ['max-hold', 12, 0.75],
    ['max-hold', 30, 0.75],
    ['max-hold', 12, 0.5],
    ['max-hold', 40, 0.85],
  ] as const)(
    '%s of %i sweeps: how neighbours on a line share noise comes back from how those beside it do (amplitudes %f)',
    (kind, sweeps, rho) => {
      const normal = seededNormal(seededRandom(5));
      const other = Math.sqrt(1 - rho ** 2);
      const shown = (amplitude: number): number => {
        const trials = 8000;
        let [x, y, xx, yy, xy] = [0, 0, 0, 0, 0];
        for (let t = 0; t < trials; t++) {
          let [first, second] = kind === 'log' ? [0, 0] : [-Infinity, -Infinity];
          for (let k = 0; k < sweeps; k++) {
            const [a, b] = [normal(), normal()];
            const one = Math.log((amplitude + a) ** 2 + b ** 2);
            const two = Math.log((amplitude + rho * a + other * normal()) ** 2 + (rho * b + other * normal()) ** 2);
            [first, second] =
              kind === 'log' ? [first + one, second + two] : [Math.max(first, one), Math.max(second, two)];
          }
          x += first;
          y += second;
          xx += first ** 2;
          yy += second ** 2;
          xy += first * second;
        }
        return (xy - (x * y) / trials) / Math.sqrt((xx - x ** 2 / trials) * (yy - y ** 2 / trials));
      };
      const floor = kind === 'log' ? floorOf(12, -2.4, 1.6) : floorOf(6, 4.6, 1.7);
      const law = lineLaw(settings(kind, sweeps), floor);
      expect(Math.abs(Math.sqrt(law.powerCorrelation(shown(0))) - shown(Math.sqrt(600)))).toBeLessThan(0.04);
    },
  );

  test.each([8, 24])(
    'averaged decibels of %i sweeps: a simulated line scatters as the law says, from the lower side of the noise',
    (sweeps) => {
      const normal = seededNormal(seededRandom(9));
      const read = (signal: number): number => {
        let sum = 0;
        for (let k = 0; k < sweeps; k++)
          sum += Math.log((Math.sqrt(signal) + normal() * Math.SQRT1_2) ** 2 + (normal() * Math.SQRT1_2) ** 2) / sweeps;
        return (10 / Math.LN10) * sum;
      };
      const noise = Float64Array.from({ length: 20_000 }, () => read(0)).sort();
      const law = lineLaw(settings('log', sweeps), floorOf(sweeps, -2.45, noise[10_000]! - noise[3173]!));
      const signal = 300;
      const ratios = Array.from({ length: 4000 }, () => law.ratioOf(read(signal)));
      const mean = ratios.reduce((a, b) => a + b, 0) / ratios.length;
      const sd = Math.sqrt(ratios.reduce((a, b) => a + (b - mean) ** 2, 0) / ratios.length);
      expect(Math.abs(sd / Math.sqrt(law.variance(signal)) - 1)).toBeLessThan(0.04);
    },
  );

  test('the mean noise is doubted where it is inferred from the scatter, and not where powers or decibels are averaged plainly', () => {
    const doubt = (kind: CaptureSettings['averaging'], median: number, peaked = false): number =>
      lineLaw({ ...settings(kind, 16), detector: peaked ? 'positive-peak' : 'sample' }, floorOf(8, median, 1.4))
        .meanDoubtDb;
    expect(doubt('power', -0.09)).toBe(0);
    expect(doubt('log', -2.4)).toBe(0);
    expect(doubt('max-hold', 5)).toBeGreaterThan(0);
    expect(doubt('power', 2.6, true)).toBeGreaterThan(doubt('max-hold', 5));
    expect(doubt('max-hold', 5, true)).toBeGreaterThan(doubt('power', 2.6, true));
  });

  test('only what keeps the largest sweep unaveraged counts as held', () => {
    expect(lineLaw(settings('max-hold', 10), floorOf(8, 4.319, 1.8)).held).toBe(true);
    expect(lineLaw(settings('power', 16), floorOf(8, 2.63, 0.69)).held).toBe(false);
    expect(lineLaw(settings('power', 16), floorOf(16, -0.09, 1.1)).held).toBe(false);
    expect(lineLaw(settings('log', 16), floorOf(16, -2.4, 1.39)).held).toBe(false);
  });

  test('never falls: a higher level is a stronger line; a blank point stays blank', () => {
    for (const [kind, median] of [
      ['power', 0],
      ['log', -2.5],
      ['max-hold', 5],
    ] as const) {
      const law = lineLaw(settings(kind, 10), floorOf(10, median, 1.4));
      let before = 0;
      for (let db = -20; db < 80; db += 0.05) {
        const ratio = law.ratioOf(db);
        expect(ratio).toBeGreaterThanOrEqual(before);
        before = ratio;
      }
      expect(law.ratioOf(-Infinity)).toBe(0);
      expect(law.ratioOf(NaN)).toBeNaN();
    }
  });
});
