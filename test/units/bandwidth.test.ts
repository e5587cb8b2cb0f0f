import { describe, expect, test } from 'vitest';
import {
  NOISE_OVER_THREE_DB,
  SIX_DB_OVER_THREE_DB,
  convertBandwidth,
  noiseBandwidthHz,
  noiseChangeDb,
  type BandwidthShape,
} from '../../src-main/units/bandwidth.ts';

describe('bandwidths of a Gaussian filter', () => {
  test('published ratios: B6 = √2·B3 and noise bandwidth 1.0645·B3 = 0.7527·B6 (common practice in filter handbooks)', () => {
    expect(SIX_DB_OVER_THREE_DB).toBeCloseTo(Math.SQRT2, 12);
    expect(NOISE_OVER_THREE_DB).toBeCloseTo(1.0645, 4);
    expect(convertBandwidth(1, '6 dB', 'noise')).toBeCloseTo(0.7527, 4);
  });

  test('in decibels: noise bandwidth is +0.271 dB over the 3 dB width, −1.234 dB over the 6 dB width', () => {
    expect(noiseChangeDb(1, noiseBandwidthHz(1, '3 dB'))).toBeCloseTo(0.271, 3);
    expect(noiseChangeDb(1, noiseBandwidthHz(1, '6 dB'))).toBeCloseTo(-1.234, 3);
  });

  test('agrees with the response summed numerically', () => {
    const step = 1e-4;
    let area = 0;
    for (let f = -6; f < 6; f += step) area += Math.exp(-4 * Math.LN2 * f * f) * step;
    expect(convertBandwidth(1, '3 dB', 'noise')).toBeCloseTo(area, 6);
  });

  test('there and back is the same width, and an unknown shape is taken as 3 dB', () => {
    const shapes: BandwidthShape[] = ['3 dB', '6 dB', 'noise'];
    for (const from of shapes)
      for (const to of shapes)
        expect(convertBandwidth(convertBandwidth(9000, from, to), to, from)).toBeCloseTo(9000, 8);
    expect(noiseBandwidthHz(1000, null)).toBe(noiseBandwidthHz(1000, '3 dB'));
  });
});

test.each([
  [9e3, 1e3, -9.542],
  [120e3, 9e3, -11.249],
  [10e3, 200, -16.99],
])(
  'noiseChangeDb(%d, %d) is %d dB (application notes on noise: ten times the RBW is 10 dB more noise)',
  (from, to, db) => {
    expect(noiseChangeDb(from, to)).toBeCloseTo(db, 3);
  },
);
