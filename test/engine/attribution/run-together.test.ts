import { describe, expect, test } from 'vitest';
import type { LineTable } from '../../../src-main/engine/attribution/line-table.ts';
import { runTogether } from '../../../src-main/engine/attribution/run-together.ts';
import type { SupportedComb } from '../../../src-main/engine/attribution/comb-support.ts';

const table = (frequencies: readonly number[]): LineTable => {
  const frequencyHz = Float64Array.from(frequencies);
  return {
    count: frequencies.length,
    frequencyHz,
    sigmaHz: frequencyHz,
    fromHz: frequencyHz,
    toHz: frequencyHz,
    overFloorDb: frequencyHz,
    levelDb: frequencyHz,
    resolutionHz: 1000,
  };
};

const combWith = (matches: readonly number[]): { comb: SupportedComb } => ({
  comb: {
    fit: {
      fundamentalHz: 100e3,
      sigmaHz: 0.1,
      slope: 0,
      slopeSigma: 0,
      covariance: 0,
      chiSquarePerPoint: 1,
      midHz: 0,
      spanHz: 1e6,
    },
    firstHarmonic: 1,
    matches: Int32Array.from(matches),
    log10Chance: -9,
    log10Support: -9,
    rangeFirst: 1,
    rangeLast: matches.length,
  },
});

describe('runTogether(lines, comb)', () => {
  test('finds the line within three quarters of a bandwidth of a tooth that shows none of its own', () => {
    const lines = table([100e3, 200e3, 300.7e3, 400e3]);
    expect(runTogether(lines, combWith([0, 1, -1, 3]))).toEqual([{ line: 2, harmonic: 3 }]);
  });

  test('leaves a line further off alone, and one beside a comb that is hardly seen there', () => {
    expect(runTogether(table([100e3, 200e3, 300.8e3, 400e3]), combWith([0, 1, -1, 3]))).toEqual([]);
    const hidden = [0, ...Array.from({ length: 30 }, () => -1)];
    expect(runTogether(table([100e3, 2_500_100]), combWith(hidden))).toEqual([]);
  });

  test('a comb without any line missing, and no lines at all, give nothing', () => {
    expect(runTogether(table([100e3, 200e3]), combWith([0, 1]))).toEqual([]);
    expect(runTogether(table([]), combWith([-1, -1]))).toEqual([]);
  });
});
