import { describe, expect, it } from 'vitest';
import { seededRandom } from './simulator/random.ts';
import { filterDb, filterResponse, noiseCorrelation } from './simulator/resolution-filter.ts';
import { seenAtHz, STEADY, sweep, type SweepSetup } from './simulator/sweep.ts';
import { harmonicDbuV, harmonicPeakV, type Trapezoid } from './simulator/trapezoid.ts';

const SETUP: SweepSetup = {
  startHz: 1e6,
  spacingHz: 500,
  points: 20_000,
  rbwHz: 1000,
  filter: 'gaussian',
  sweeps: 10,
  combine: 'power',
  peakLooks: 1,
  overlapping: true,
  roundDb: 0,
};

function noise(setup: Partial<SweepSetup>, seed = 1): Float64Array {
  const full = { ...SETUP, ...setup };
  return sweep(full, [], new Float64Array(full.points), seededRandom(seed));
}

function meanOf(values: Float64Array): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function deviationOf(values: Float64Array): number {
  const mean = meanOf(values);
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
}

/** Mean power and its correlation between points a number apart. */
function powerCorrelation(db: Float64Array, apart: number): number {
  const power = db.map((value) => 10 ** (value / 10));
  const mean = meanOf(power);
  let product = 0;
  for (let i = 0; i + apart < power.length; i++) product += (power[i]! - mean) * (power[i + apart]! - mean);
  return product / (power.length - apart) / deviationOf(power) ** 2;
}

describe('trapezoid', () => {
  // 5 V, 1 MHz, 50 %, 20 ns; table computed from the formula of Paul §3.2.1 and verified with an FFT beforehand
  const wave: Trapezoid = { amplitudeV: 5, frequencyHz: 1e6, duty: 0.5, riseS: 20e-9 };
  it.each([
    [1, 3.181, 127.04],
    [3, 1.05476, 117.45],
    [5, 0.626199, 112.92],
    [11, 0.266878, 105.52],
    [25, 0.0810569, 95.17],
    [49, 0.00132487, 59.43],
    [101, 3.118e-4, 46.87],
  ])('harmonicPeakV and harmonicDbuV give the tabled level of harmonic %i', (harmonic, peakV, dbuV) => {
    expect(harmonicPeakV(wave, harmonic) / peakV).toBeCloseTo(1, 3);
    expect(Math.abs(harmonicDbuV(wave, harmonic) - dbuV)).toBeLessThan(0.006);
  });

  it('harmonicPeakV vanishes at even harmonics of a half duty, and two are 30.08 dB down at a duty of 0.49', () => {
    for (const n of [2, 4, 50]) expect(harmonicPeakV(wave, n)).toBeLessThan(1e-12);
    const skewed = { ...wave, duty: 0.49, riseS: 0 };
    expect(harmonicDbuV(skewed, 2) - harmonicDbuV(skewed, 1)).toBeCloseTo(-30.08, 1);
  });

  it('harmonicPeakV agrees with a discrete transform of the sampled waveform', () => {
    const buck: Trapezoid = { amplitudeV: 28, frequencyHz: 300e3, duty: 0.25, riseS: 50e-9 };
    const samples = 60_000;
    const rise = buck.riseS * buck.frequencyHz;
    for (const harmonic of [1, 2, 3, 10]) {
      let re = 0;
      let im = 0;
      for (let i = 0; i < samples; i++) {
        const t = (i + 0.5) / samples;
        const value = 28 * Math.max(0, Math.min(1, t / rise, t < buck.duty + rise ? (buck.duty + rise - t) / rise : 0));
        re += value * Math.cos(2 * Math.PI * harmonic * t);
        im += value * Math.sin(2 * Math.PI * harmonic * t);
      }
      expect((2 * Math.hypot(re, im)) / samples / harmonicPeakV(buck, harmonic)).toBeCloseTo(1, 4);
    }
  });
});

describe('resolution filter', () => {
  it.each(['gaussian', 'four-pole'] as const)('%s passes half the power half a bandwidth off its centre', (kind) => {
    expect(filterDb(kind, 0.5)).toBeCloseTo(-3.0103, 4);
    const { re, im } = filterResponse(kind, 1.7);
    expect(20 * Math.log10(Math.hypot(re, im))).toBeCloseTo(filterDb(kind, 1.7), 9);
  });

  it.each(['gaussian', 'four-pole'] as const)(
    'noiseCorrelation of %s is the overlap of the filter with itself, by slow integration',
    (kind) => {
      for (const offset of [0.3, 0.5, 1, 1.6]) {
        let re = 0;
        let im = 0;
        let power = 0;
        for (let x = -60; x < 60; x += 0.005) {
          const a = filterResponse(kind, x);
          const b = filterResponse(kind, x - offset);
          re += a.re * b.re + a.im * b.im;
          im += a.im * b.re - a.re * b.im;
          power += a.re ** 2 + a.im ** 2;
        }
        const expected = noiseCorrelation(kind, offset);
        expect(re / power).toBeCloseTo(expected.re, 4);
        expect(im / power).toBeCloseTo(expected.im, 4);
      }
    },
  );
});

describe('sweep over noise only', () => {
  // mean of dB and spread of dB of K power averages: 4.3429·(ψ(K) − ln K) and 4.3429·√ψ₁(K)
  it.each([
    [1, -2.5068, 5.57],
    [4, -0.5654, 2.3137],
    [16, -0.1371, 1.1029],
    [64, -0.034, 0.545],
  ])('%i power averages scatter as chi-square has it', (sweeps, meanDb, spreadDb) => {
    const db = noise({ sweeps });
    // neighbours share noise: about half as many independent points as points
    const error = spreadDb / Math.sqrt(SETUP.points / 3);
    expect(Math.abs(meanOf(db) - meanDb)).toBeLessThan(4 * error);
    expect(Math.abs(deviationOf(db) - spreadDb)).toBeLessThan(4 * error);
    expect(Math.abs(10 * Math.log10(meanOf(db.map((value) => 10 ** (value / 10)))))).toBeLessThan(4 * error);
  });

  it('averages of decibels read 2.51 dB low and scatter by 5.57/√K dB', () => {
    const db = noise({ combine: 'log', sweeps: 16 });
    expect(meanOf(db)).toBeCloseTo(-2.5068, 1);
    expect(deviationOf(db)).toBeCloseTo(5.57 / 4, 1);
  });

  it.each([
    [2, 1.761],
    [10, 4.667],
    [100, 7.15],
  ])('the largest of %i sweeps has the mean power of the harmonic number', (sweeps, aboveDb) => {
    const power = noise({ combine: 'max-hold', sweeps }).map((value) => 10 ** (value / 10));
    expect(Math.abs(10 * Math.log10(meanOf(power)) - aboveDb)).toBeLessThan(0.06);
  });

  it('one sweep of a peak detector with 10 looks reads like 10 held sweeps', () => {
    const power = noise({ sweeps: 1, peakLooks: 10 }).map((value) => 10 ** (value / 10));
    expect(Math.abs(10 * Math.log10(meanOf(power)) - 4.667)).toBeLessThan(0.06);
  });

  it.each(['gaussian', 'four-pole'] as const)('neighbours share power as the square of the %s overlap', (filter) => {
    for (const apart of [1, 2]) {
      const { re, im } = noiseCorrelation(filter, apart * 0.5);
      expect(Math.abs(powerCorrelation(noise({ filter, sweeps: 4 }), apart) - (re ** 2 + im ** 2))).toBeLessThan(0.03);
    }
    expect(Math.abs(powerCorrelation(noise({ filter, sweeps: 4, overlapping: false }), 1))).toBeLessThan(0.03);
  });

  // threshold over mean power at false-alarm probability 1e-3
  it.each([
    [1, 8.393],
    [10, 3.552],
  ])('%i averages exceed the tabled threshold once in a thousand', (sweeps, thresholdDb) => {
    const db = noise({ sweeps, points: 100_000, spacingHz: 1500, overlapping: false });
    const exceeding = db.filter((value) => value > thresholdDb).length;
    expect(Math.abs(exceeding - 100)).toBeLessThan(4 * Math.sqrt(100));
  });
});

describe('sweep over lines', () => {
  // probability of detection of a steady line at false-alarm probability 1e-6 (non-central chi-square)
  it.each([
    [1, 11.404, 11.243, 0.5],
    [1, 11.404, 13.662, 0.95],
    [10, 5.147, 3.651, 0.5],
    [10, 5.147, 5.671, 0.95],
  ])(
    '%i averages: threshold %f dB finds a line of %f dB with probability %f',
    (sweeps, thresholdDb, lineDb, expected) => {
      const setup = { ...SETUP, sweeps, spacingHz: 20_000, points: 4000, overlapping: false };
      const lines = Array.from({ length: 4000 }, (_, i) => ({
        frequencyHz: setup.startHz + i * setup.spacingHz,
        levelDb: lineDb,
        wander: STEADY,
      }));
      const found = sweep(setup, lines, new Float64Array(4000), seededRandom(3)).filter(
        (db) => db > thresholdDb,
      ).length;
      expect(Math.abs(found / 4000 - expected)).toBeLessThan(4 * Math.sqrt((expected * (1 - expected)) / 4000));
    },
  );

  it('a strong line shows its own level and the shape of the filter', () => {
    for (const filter of ['gaussian', 'four-pole'] as const) {
      const line = { frequencyHz: 1e6 + 500 * 4000 + 130, levelDb: 60, wander: STEADY };
      const db = sweep({ ...SETUP, filter }, [line], new Float64Array(SETUP.points), seededRandom(5));
      for (const i of [3999, 4000, 4001, 4002])
        expect(db[i]! - 60 - filterDb(filter, (500 * (i - 4000) - 130) / 1000)).toBeCloseTo(0, 1);
    }
  });

  it('two lines in one bandwidth beat from sweep to sweep: their powers add only on average', () => {
    const pair = [0, 100].map((offset) => ({ frequencyHz: 2e6 + offset, levelDb: 40, wander: STEADY }));
    const quiet = new Float64Array(SETUP.points);
    const one = Array.from(
      { length: 60 },
      (_, seed) => sweep({ ...SETUP, sweeps: 1 }, pair, quiet, seededRandom(seed))[2000]!,
    );
    expect(Math.max(...one) - Math.min(...one)).toBeGreaterThan(10);
    const many = sweep({ ...SETUP, sweeps: 2000, points: 2010 }, pair, new Float64Array(2010), seededRandom(1))[2000]!;
    expect(Math.abs(many - 43)).toBeLessThan(0.3);
  });

  it('a drifting line is seen where the sweep meets it', () => {
    const wander = { driftPpm: 2000, jitterPpm: 0, spreadPpm: 0 };
    const lines = [{ frequencyHz: 3e6, levelDb: 50, wander }];
    const db = sweep(SETUP, lines, new Float64Array(SETUP.points), seededRandom(2));
    const peak = db.indexOf(Math.max(...db));
    const seen = seenAtHz(SETUP, 3e6, wander);
    expect(Math.abs(1e6 + 500 * peak - seen)).toBeLessThanOrEqual(260);
    // at the meeting point the line's own frequency equals the tuning
    const progress = (seen - 1e6) / (500 * 19_999);
    expect(3e6 * (1 + 2e-3 * (progress - 0.5))).toBeCloseTo(seen, 3);
  });

  it('the same seed gives the same trace, another seed another', () => {
    expect(noise({}, 4)).toEqual(noise({}, 4));
    expect(noise({}, 4)).not.toEqual(noise({}, 5));
  });

  // standard deviation of the difference of two traces of K averages, noise only and with a steady line of 20 dB
  it.each([
    [10, 1.992, 0.193],
    [64, 0.771, 0.076],
  ])('before and after of %i averages differ as the table says', (sweeps, noiseDb, lineDb) => {
    const setup = { ...SETUP, sweeps, spacingHz: 20_000, points: 3000, overlapping: false };
    const difference = (levels: number[]): number => {
      const lines =
        levels.length === 0
          ? []
          : Array.from({ length: 3000 }, (_, i) => ({
              frequencyHz: setup.startHz + i * setup.spacingHz,
              levelDb: levels[0]!,
              wander: STEADY,
            }));
      const floor = new Float64Array(3000);
      const before = sweep(setup, lines, floor, seededRandom(8));
      const after = sweep(setup, lines, floor, seededRandom(9));
      return deviationOf(before.map((value, i) => value - after[i]!));
    };
    expect(difference([]) / noiseDb).toBeCloseTo(1, 1);
    // the tabled figure is one trace's; the difference of two is √2 of it
    expect(difference([20]) / (Math.SQRT2 * lineDb)).toBeCloseTo(1, 1);
  });
});
