import { describe, expect, test } from 'vitest';
import { fitComb, predictHz } from '../../../src-main/engine/attribution/comb-fit.ts';
import { MASKED, matchHarmonics } from '../../../src-main/engine/attribution/comb-support.ts';
import { measureCoverage } from '../../../src-main/engine/attribution/coverage.ts';
import type { LineTable } from '../../../src-main/engine/attribution/line-table.ts';
import { stabIntervals } from '../../../src-main/engine/attribution/stab-intervals.ts';
import { log10BinomialTail } from '../../../src-main/engine/attribution/tail.ts';
import { seeded } from './scene.ts';

function table(frequencies: readonly number[], sigmaHz: number): LineTable {
  const frequencyHz = Float64Array.from(frequencies);
  const column = (value: number): Float64Array => new Float64Array(frequencies.length).fill(value);
  return {
    count: frequencies.length,
    frequencyHz,
    sigmaHz: column(sigmaHz),
    fromHz: frequencyHz,
    toHz: frequencyHz,
    overFloorDb: column(20),
    levelDb: column(-80),
    resolutionHz: 1,
  };
}

describe('fitComb(lines, harmonics, matched, withSlope)', () => {
  test('gives 500.020513 for 500.1, 1000.0, 1499.9, 2500.2 at harmonics 1, 2, 3, 5', () => {
    // worked least-squares example, computed: Σ n f / Σ n²
    const fit = fitComb(table([500.1, 1000.0, 1499.9, 2500.2], 1), [1, 2, 3, 5], [0, 1, 2, 3], false, 1500, 2000);
    expect(fit.fundamentalHz).toBeCloseTo(500.020513, 5);
  });

  test('states σ/√Σn²: 5.0965 Hz for harmonics 1…10 and 0.48266 Hz for 1…50 at σ = 100 Hz', () => {
    for (const [last, sigmaHz] of [
      [10, 5.0965],
      [50, 0.48266],
    ] as const) {
      const harmonics = Array.from({ length: last }, (_, i) => i + 1);
      const lines = table(
        harmonics.map((n) => n * 1e6),
        100,
      );
      const fit = fitComb(
        lines,
        harmonics,
        harmonics.map((n) => n - 1),
        false,
        0,
        1e6,
      );
      expect(fit.sigmaHz).toBeCloseTo(sigmaHz, 4);
    }
  });

  test('recovers a drift within the sweep exactly from noise-free lines', () => {
    const slope = 3e-4;
    const harmonics = [4, 9, 17, 30, 44];
    const f = harmonics.map((n) => n * 3e5 * (1 + (slope * (n * 3e5 - 7e6)) / 12e6));
    const fit = fitComb(table(f, 50), harmonics, [0, 1, 2, 3, 4], true, 7e6, 12e6);
    for (const [j, n] of harmonics.entries()) expect(Math.abs(predictHz(fit, n) - f[j]!)).toBeLessThan(2);
  });

  test('widens its uncertainty when the lines scatter more than they state, and never narrows it', () => {
    const harmonics = [1, 2, 3, 4];
    const calm = fitComb(table([1000, 2000, 3000, 4000], 10), harmonics, [0, 1, 2, 3], false, 0, 1);
    const wild = fitComb(table([1100, 1900, 3100, 3900], 10), harmonics, [0, 1, 2, 3], false, 0, 1);
    expect(calm.sigmaHz).toBeCloseTo(10 / Math.sqrt(30), 10);
    // matches are cut off at a few sigma: errors grow twofold at the most, or wide windows would feed on themselves
    expect(wild.sigmaHz).toBeCloseTo(2 * calm.sigmaHz, 9);
  });
});

describe('log10BinomialTail(k, n, p)', () => {
  test('agrees with the published chance-coincidence table: smallest k for which P < 1e-6', () => {
    // table of chance coincidences, p = 1 − exp(−2wλ), computed with scipy.stats.binom
    for (const [n, p, k] of [
      [100, 0.0198, 12],
      [100, 0.002, 6],
      [100, 0.18127, 39],
      [60, 0.00995, 8],
    ] as const) {
      expect(log10BinomialTail(k, n, p)).toBeLessThan(-6);
      expect(log10BinomialTail(k - 1, n, p)).toBeGreaterThan(-6);
    }
  });

  test('agrees with the plain sum of all terms', () => {
    const { uniform } = seeded(5);
    for (let i = 0; i < 300; i++) {
      const n = 1 + Math.floor(40 * uniform());
      const k = Math.floor((n + 1) * uniform());
      const p = 0.001 + 0.9 * uniform();
      let sum = 0;
      for (let j = k; j <= n; j++) {
        let term = p ** j * (1 - p) ** (n - j);
        for (let m = 1; m <= j; m++) term *= (n - j + m) / m;
        sum += term;
      }
      expect(log10BinomialTail(k, n, p)).toBeCloseTo(Math.log10(sum), 8);
    }
  });

  test('edges: no hit asked is certain, more hits than trials or p = 0 impossible, p = 1 certain', () => {
    expect(log10BinomialTail(0, 10, 0.1)).toBe(0);
    expect(log10BinomialTail(11, 10, 0.1)).toBe(-Infinity);
    expect(log10BinomialTail(1, 10, 0)).toBe(-Infinity);
    expect(log10BinomialTail(5, 10, 1)).toBe(0);
  });
});

describe('stabIntervals(…)', () => {
  test('finds the same best fundamental as trying a fine grid', () => {
    const { uniform } = seeded(11);
    for (let round = 0; round < 20; round++) {
      const f0 = 95_000 + 10_000 * uniform();
      const frequencies: number[] = [];
      for (let n = 10; n <= 60; n++) if (uniform() < 0.6) frequencies.push(n * f0 + 40 * (uniform() - 0.5));
      for (let i = 0; i < 40; i++) frequencies.push(1e6 + 5e6 * uniform());
      frequencies.sort((a, b) => a - b);
      const lines = table(frequencies, 30);
      const one = new Uint8Array(lines.count).fill(1);
      const weights = new Float64Array(lines.count).fill(1);
      const [best] = stabIntervals(lines, one, weights, 3, 95_000, 105_000, 10, 60, 3);
      const countAt = (f: number): number => {
        let count = 0;
        for (const line of frequencies) for (let n = 10; n <= 60; n++) if (Math.abs(line - n * f) <= 90) count++;
        return count;
      };
      let most = 0;
      for (let f = 95_000; f <= 105_000; f += 0.25) most = Math.max(most, countAt(f));
      expect(best!.score).toBeGreaterThanOrEqual(most);
      expect(countAt(best!.fundamentalHz)).toBe(best!.score);
    }
  });

  test('ignores lines that are set aside and gives nothing for an empty list', () => {
    const lines = table([1e6, 2e6, 3e6], 10);
    const weights = new Float64Array(3).fill(1);
    expect(stabIntervals(lines, new Uint8Array(3), weights, 3, 0.9e6, 1.1e6, 1, 3, 5)).toEqual([]);
  });
});

describe('measureCoverage(…)', () => {
  test('gives p = 1 − exp(−2wλ) = 0.0198 for 1 000 even lines in 100 MHz and a window of ± 1 kHz', () => {
    // chance coincidence table: N = 1 000, B = 100 MHz, w = 1 kHz → p = 0.01980
    const lines = table(
      Array.from({ length: 1000 }, (_, i) => (i + 0.5) * 1e5),
      1000 / 3,
    );
    const coverage = measureCoverage(lines, new Uint8Array(1000).fill(1), 3, 0, 100e6);
    expect(coverage.probabilityAt(50e6)).toBeCloseTo(0.0198, 3);
    expect(coverage.densityAt(50e6)).toBeCloseTo(1e-5, 6);
  });

  test('follows a crowded band and is zero where no line is active', () => {
    const crowd = Array.from({ length: 100 }, (_, i) => 10e6 + i * 5e3);
    const calm = Array.from({ length: 100 }, (_, i) => 20e6 + i * 500e3);
    const lines = table([...crowd, ...calm], 100);
    const coverage = measureCoverage(lines, new Uint8Array(200).fill(1), 3, 0, 80e6);
    expect(coverage.probabilityAt(10.25e6)).toBeGreaterThan(50 * coverage.probabilityAt(45e6));
    expect(measureCoverage(lines, new Uint8Array(200), 3, 0, 80e6).probabilityAt(10e6)).toBe(0);
  });
});

describe('matchHarmonics(context, fit, maxHarmonic)', () => {
  const plainFit = (fundamentalHz: number, sigmaHz: number) => ({
    fundamentalHz,
    sigmaHz,
    slope: 0,
    slopeSigma: 0,
    covariance: 0,
    chiSquarePerPoint: 0,
    midHz: 50e6,
    spanHz: 100e6,
  });

  test('a random line is a tooth of at least one of E emitters with the tabled chance 0.077, 0.284 and 0.0080', () => {
    // chance coincidence, computed: 1 − (1 − 2w/f0)^E for E = 20, 500 kHz, ± 1 kHz; E = 50, 300 kHz, ± 1 kHz; E = 20, 500 kHz, ± 100 Hz
    for (const [emitters, aboutHz, windowHz, chance] of [
      [20, 500e3, 1e3, 0.077],
      [50, 300e3, 1e3, 0.284],
      [20, 500e3, 100, 0.008],
    ] as const) {
      const { uniform } = seeded(emitters + windowHz);
      // one line at a time: lines do not compete
      const hit = new Set<number>();
      const count = 4000;
      const frequencies = Array.from({ length: count }, (_, i) => 1e6 + (98e6 * (i + 0.02 + 0.96 * uniform())) / count);
      const lines = table(frequencies, windowHz / 3);
      const context = { lines, active: new Uint8Array(count).fill(1), matchSigma: 3, spanLowHz: 0, spanHighHz: 100e6 };
      for (let e = 0; e < emitters; e++) {
        const fit = plainFit(aboutHz * (1 + 0.02 * (uniform() - 0.5)), 0);
        for (const line of matchHarmonics(context, fit, Infinity).matches) if (line >= 0) hit.add(line);
      }
      const share = hit.size / count;
      // three standard deviations of 4 000 lines; two lines in one window count once, a few in a thousand
      expect(Math.abs(share - chance), `${emitters} emitters`).toBeLessThan(
        3 * Math.sqrt((chance * (1 - chance)) / count) + 0.02 * chance,
      );
    }
  });

  test('stops predicting well before the windows of neighbouring harmonics merge, at the 5000th, 500th, 50th and 5th', () => {
    // tolerance growth, computed: for a relative window δ neighbours merge at n ≥ 1/(2δ)
    const lines = table([1, 2], 1);
    for (const [delta, merged] of [
      [1e-4, 5000],
      [1e-3, 500],
      [1e-2, 50],
      [0.1, 5],
    ] as const) {
      const context = { lines, active: new Uint8Array(2), matchSigma: 3, spanLowHz: 0, spanHighHz: 1e10 };
      const { firstHarmonic, matches } = matchHarmonics(context, plainFit(1e6, (delta * 1e6) / 3), 2 * merged);
      const last = firstHarmonic + matches.indexOf(MASKED) - 1;
      // a quarter of the way: windows of an eighth of the spacing; the last of them is on the edge itself
      expect(Math.abs(last - Math.floor(merged / 4))).toBeLessThanOrEqual(1);
    }
  });
});
