import { describe, expect, test } from 'vitest';
import { hardCase } from '../../accuracy/cases/hard-case.ts';
import { plainCase } from '../../accuracy/cases/plain-case.ts';
import { estimateFloor } from '../../../src-main/engine/floor/estimate-floor.ts';
import {
  heldPairQuantileDb,
  lowerSpreadDb,
  looksFromLowerSpread,
  maxHoldQuantileDb,
  meanOfDecibelsDb,
  medianOverMeanDb,
  spreadDb,
} from '../../../src-main/engine/floor/noise-statistics.ts';
import type { Floor } from '../../../src-main/model/floor.ts';
import { seeded } from '../attribution/scene.ts';
import { sweep, type Sweep } from '../spurs/sweep.ts';

const floorOf = (s: Sweep, falseAlarmsPerCapture = 0.05): Floor =>
  estimateFloor({ ...s, falseAlarmsPerCapture, floorWindowPoints: null });
const errors = (s: Sweep, floor: Floor): number[] =>
  [...floor.meanDb].map((m, i) => Math.abs(m - s.floorDb(i))).sort((a, b) => a - b);
const p95 = (sorted: readonly number[]): number => sorted[Math.floor(0.95 * sorted.length)]!;

describe('noise statistics', () => {
  // statistics of averaged periodograms, table computed with scipy: bias of the mean of dB, its spread, median in dB
  test.each([
    [1, -2.5068, 5.57, -1.5917],
    [4, -0.5654, 2.3137, -0.3715],
    [16, -0.1371, 1.1029, -0.0911],
    [100, -0.0218, 0.4354, -0.0145],
  ])('%i averages: bias, spread and median agree with the table', (looks, bias, spread, median) => {
    expect(meanOfDecibelsDb(looks)).toBeCloseTo(bias, 3);
    expect(spreadDb(looks)).toBeCloseTo(spread, 3);
    expect(medianOverMeanDb(looks)).toBeCloseTo(median, 3);
  });

  test('median of the largest of M looks: +4.319 dB for 10, +6.968 dB for 100 (computed from −ln(1 − 0.5^{1/M}))', () => {
    expect(maxHoldQuantileDb(10, 0.5)).toBeCloseTo(4.319, 3);
    expect(maxHoldQuantileDb(100, 0.5)).toBeCloseTo(6.968, 3);
  });

  test('the mean of two held neighbours exceeds its threshold no more often than said, and not hundreds of times less', () => {
    const { normal } = seeded(16);
    const rho = 0.7;
    const sweeps = 10;
    const threshold = 10 ** (heldPairQuantileDb(sweeps, rho ** 2, 1e-2) / 10);
    const trials = 40_000;
    let above = 0;
    for (let t = 0; t < trials; t++) {
      let [first, second] = [0, 0];
      for (let k = 0; k < sweeps; k++) {
        const [a, b, c, d] = [normal(), normal(), normal(), normal()];
        const other = Math.sqrt(1 - rho ** 2);
        first = Math.max(first, (a * a + b * b) / 2);
        second = Math.max(second, ((rho * a + other * c) ** 2 + (rho * b + other * d) ** 2) / 2);
      }
      if ((first + second) / 2 > threshold) above++;
    }
    // four standard deviations of the count at the stated rate
    expect(above).toBeLessThan(400 + 4 * Math.sqrt(400));
    expect(above).toBeGreaterThan(10);
  });

  test('the number of looks comes back from its own lower spread', () => {
    for (const looks of [1, 3, 16, 200]) expect(looksFromLowerSpread(lowerSpreadDb(looks)) / looks).toBeCloseTo(1, 6);
  });
});

describe('estimateFloor(input)', () => {
  test.each([
    ['power', 1],
    ['power', 4],
    ['power', 16],
    ['power', 64],
    ['log', 16],
    ['max-hold', 10],
  ] as const)('gives the mean noise power of flat noise: %s of %i sweeps', (averaging, sweeps) => {
    const s = sweep({ seed: 1, points: 8000, sweeps, averaging });
    const floor = floorOf(s);
    const mean = floor.meanDb.reduce((a, b) => a + b, 0) / floor.meanDb.length;
    expect(Math.abs(mean + 100)).toBeLessThan(averaging === 'max-hold' ? 0.3 : 0.08);
  });

  test('says which statistics it used, and why not chi-square', () => {
    const s = sweep({ seed: 2, points: 3000, sweeps: 16 });
    expect(floorOf(s)).toMatchObject({ statistic: 'chi-square', averages: 16 });
    for (const [change, reason] of [
      [{ averages: null }, /unknown/],
      [{ averaging: 'unknown' as const }, /unknown/],
      [{ averaging: 'log' as const }, /log/],
      [{ averaging: 'max-hold' as const }, /max-hold/],
      [{ detector: 'positive-peak' as const }, /positive-peak/],
    ] as const) {
      const floor = floorOf({ ...s, settings: { ...s.settings, ...change } });
      expect(floor.statistic).toBe('robust-spread');
      expect(floor.averages).toBeNull();
      expect(floor.why).toMatch(reason);
    }
  });

  test('does not believe more averages than the scatter shows, and says so', () => {
    const s = sweep({ seed: 3, points: 4000, sweeps: 4 });
    const floor = floorOf({ ...s, settings: { ...s.settings, averages: 64 } });
    expect(floor.statistic).toBe('robust-spread');
    expect(floor.warnings.join()).toMatch(/scatters by/);
  });

  test('the threshold of 16 averages at one false alarm in a hundred captures of 5 000 points is the tabled one', () => {
    // half of the right goes to single points: p = 0.01/5000/2 = 1e-6 → 4.255 dB above the mean (table computed with scipy)
    const floor = floorOf(sweep({ seed: 4, points: 5000, sweeps: 16 }), 0.01);
    expect(floor.thresholdDb[100]! - floor.meanDb[100]!).toBeCloseTo(4.255, 3);
    expect(floor.falseAlarmsExpected).toBeCloseTo(0.01, 10);
  });

  test('a quarter of all bins under lines on a slope of 10 dB a decade: within 0.5 dB of truth at the 95th percentile', () => {
    for (const seed of [5, 6, 7]) {
      const { uniform } = seeded(seed);
      const points = 12_000;
      // one line in about twelve points covers a quarter of them, skirts counted
      const lines = Array.from({ length: points / 12 }, (_, k) => ({
        at: 12 * k + 6 * uniform(),
        overFloorDb: 8 + 25 * uniform(),
      }));
      const s = sweep({
        seed,
        points,
        sweeps: 16,
        lines,
        pointsPerRbw: 1.2,
        floorDb: (i) => -100 - 10 * Math.log10(1 + i / 1200),
      });
      expect(p95(errors(s, floorOf(s)))).toBeLessThan(0.5);
    }
  });

  test.each([
    ['nine power averages', plainCase, 7013, 3],
    ['sixty averages of decibels under a peak detector', hardCase, 7015, 12],
  ] as const)(
    'where combs crowd most bins the floor is sought from below, not set upon the lines: %s',
    (_, makeCase, caseSeed, mostDb) => {
      // a plain running median stood 5 to 30 dB up on the lines here, and their scatter hid nearly half or all of them
      const { frequencyHz, levelDb, noiseDb, settings } = makeCase(caseSeed);
      const floor = estimateFloor({
        frequencyHz,
        levelDb,
        settings,
        falseAlarmsPerCapture: 0.05,
        floorWindowPoints: null,
      });
      const off = Array.from(floor.meanDb, (level, i) => Math.abs(level - noiseDb[i]!)).sort((a, b) => a - b);
      expect(p95(off)).toBeLessThan(mostDb);
      expect(floor.thresholdDb[500]! - floor.meanDb[500]!).toBeLessThan(7);
    },
  );

  test('a crowd of weak lines widens the scatter of held noise, and the threshold stays that of the stated sweeps', () => {
    const { frequencyHz, levelDb, settings } = hardCase(7043);
    const floor = estimateFloor({
      frequencyHz,
      levelDb,
      settings,
      falseAlarmsPerCapture: 0.05,
      floorWindowPoints: null,
    });
    // 20 070 points: p = 0.05/20070/2; the largest of eleven looks exceeds 12.3 dB with that chance (−ln of p/11)
    const exact = 10 * Math.log10(-Math.log(0.05 / frequencyHz.length / 2 / settings.averages!));
    expect(floor.thresholdDb[500]! - floor.meanDb[500]!).toBeGreaterThan(exact);
    expect(floor.thresholdDb[500]! - floor.meanDb[500]!).toBeLessThan(exact + 0.5);
  });

  test('held noise that scatters more than its sweeps explain where no lines crowd keeps the higher threshold', () => {
    const s = sweep({ seed: 17, points: 6000, sweeps: 12, averaging: 'max-hold' });
    const { normal } = seeded(17);
    const uneven = s.levelDb.map((level) => level + 1.2 * normal());
    const over = (levelDb: Float64Array): number => {
      const floor = floorOf({ ...s, levelDb });
      return floor.thresholdDb[500]! - floor.meanDb[500]!;
    };
    expect(over(uneven)).toBeGreaterThan(over(s.levelDb) + 0.8);
  });

  test('follows a ripple of 1.5 dB and a falling floor', () => {
    const s = sweep({
      seed: 8,
      points: 10_000,
      sweeps: 16,
      floorDb: (i) => -90 - 12 * Math.log10(1 + i / 500) + 1.5 * Math.sin(i / 250),
    });
    expect(p95(errors(s, floorOf(s)))).toBeLessThan(0.5);
  });

  test.each([
    ['power', 16, 3],
    ['power', 40, 2],
    ['log', 32, 4],
  ] as const)(
    'the mean noise power under a peak detector shows in the scatter: %s of %i sweeps, largest of %i looks',
    (averaging, sweeps, looks) => {
      const { uniform } = seeded(14);
      const s = sweep({ seed: 14, points: 6000, sweeps: 1 });
      const levelDb = s.levelDb.map(() => {
        let sum = 0;
        for (let k = 0; k < sweeps; k++) {
          let most = 0;
          for (let m = 0; m < looks; m++) most = Math.max(most, -Math.log(1 - uniform()));
          sum += (averaging === 'log' ? 10 * Math.log10(most) : most) / sweeps;
        }
        return -100 + (averaging === 'log' ? sum : 10 * Math.log10(sum));
      });
      const settings = { ...s.settings, averaging, averages: sweeps, detector: 'positive-peak' as const };
      const floor = floorOf({ ...s, levelDb, settings });
      expect(Math.abs(floor.meanDb.reduce((a, b) => a + b, 0) / 6000 + 100)).toBeLessThan(0.6);
      expect(floor.warnings.join()).toMatch(/no better than 1 dB/);
    },
  );

  test('a floor that falls steeply from the first point on is followed there', () => {
    const s = sweep({ seed: 15, points: 5000, sweeps: 64, floorDb: (i) => -90 - 0.05 * i });
    const floor = floorOf(s);
    for (let i = 0; i < 20; i++) expect(Math.abs(floor.meanDb[i]! - s.floorDb(i))).toBeLessThan(0.6);
  });

  test('a line at the very first point is not taken for floor', () => {
    const s = sweep({ seed: 9, points: 500, sweeps: 16 });
    s.levelDb[0] = -20;
    expect(floorOf(s).meanDb[0]!).toBeLessThan(-98);
  });

  test('warns where everything stands above its surroundings, and where there is hardly a point', () => {
    const s = sweep({ seed: 10, points: 4000, sweeps: 16, floorDb: (i) => (i > 2000 && i < 2600 ? -70 : -100) });
    expect(floorOf(s).warnings.length + (floorOf(s).meanDb[2300]! > -80 ? 1 : 0)).toBeGreaterThan(0);
    const few = sweep({ seed: 11, points: 5, sweeps: 16 });
    expect(floorOf(few).warnings.join()).toMatch(/5 points/);
  });

  test('blank points and zeros of a linear column are passed over', () => {
    const s = sweep({ seed: 12, points: 2000, sweeps: 16 });
    for (let i = 700; i < 760; i++) s.levelDb[i] = NaN;
    s.levelDb[100] = -Infinity;
    const floor = floorOf(s);
    expect([...floor.meanDb].every((m) => Math.abs(m + 100) < 1)).toBe(true);
  });

  test('adding decibels to a trace adds them to its floor and threshold and changes nothing else', () => {
    const s = sweep({ seed: 13, points: 3000, sweeps: 8 });
    const a = floorOf(s);
    const b = floorOf({ ...s, levelDb: s.levelDb.map((v) => v + 37) });
    for (let i = 0; i < 3000; i += 101) {
      expect(b.meanDb[i]! - a.meanDb[i]!).toBeCloseTo(37, 9);
      expect(b.thresholdDb[i]! - a.thresholdDb[i]!).toBeCloseTo(37, 9);
    }
    expect(b.looks).toBe(a.looks);
  });
});
