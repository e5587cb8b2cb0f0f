import { describe, expect, test } from 'vitest';
import { noiseBandwidthHz } from '../../src-main/units/bandwidth.ts';
import { convertLevel } from '../../src-main/units/convert-level.ts';
import { thermalNoiseDbm } from '../../src-main/units/conversions.ts';
import { parseLevelUnit } from '../../src-main/units/parse-unit.ts';

const unit = (name: string) => parseLevelUnit(name)!;
const db = (from: string, to: string, impedanceOhm: number | null, noiseHz: number | null): number => {
  const found = convertLevel(unit(from), unit(to), { impedanceOhm, noiseBandwidthHz: noiseHz });
  return found.isDefined ? found.db : NaN;
};
const why = (from: string, to: string, impedanceOhm: number | null = null, noiseHz: number | null = null): string => {
  const found = convertLevel(unit(from), unit(to), { impedanceOhm, noiseBandwidthHz: noiseHz });
  return found.isDefined ? '' : found.why;
};

describe('convertLevel(from, to, known)', () => {
  // rounded values of A.H. Systems, Typical conversion formulas: "107", "73"; the digits behind are computed
  test.each([
    ['dBm', 'dBµV', 50, 106.9897],
    ['dBm', 'dBµV', 75, 108.7506],
    ['dBm', 'dBµA', 50, 73.0103],
    ['dBV', 'dBµV', null, 120],
    ['dBW', 'dBm', null, 30],
    ['dBV/√Hz', 'dBm/Hz', 50, 13.0103],
  ] as const)('%s to %s across %s Ω adds %d dB, whatever the RBW', (from, to, ohm, added) => {
    expect(db(from, to, ohm, null)).toBeCloseTo(added, 3);
    expect(db(from, to, ohm, 1000)).toBeCloseTo(added, 3);
  });

  // a worked example of noise density: −95 dBm in 10 kHz (Gaussian) of power-averaged noise: −95 − 40 − 0.271 dB (common practice)
  test('noise in an RBW becomes noise per hertz by its noise bandwidth', () => {
    expect(-95 + db('dBm', 'dBm/Hz', null, noiseBandwidthHz(10e3, '3 dB'))).toBeCloseTo(-135.271, 3);
  });

  // k·T at 290 K is −173.975 dBm/Hz; k·T·B in 9 kHz is −134.433 dBm or −27.443 dBµV (k exact in the SI)
  test('thermal noise per hertz becomes that in a bandwidth, in power and in voltage', () => {
    expect(thermalNoiseDbm(1) + db('dBm/Hz', 'dBm', null, 9000)).toBeCloseTo(-134.433, 3);
    expect(thermalNoiseDbm(1) + db('dBm/Hz', 'dBµV', 50, 9000)).toBeCloseTo(-27.443, 3);
  });

  test('there and back is nothing, and a way round adds as the straight one', () => {
    const names = ['dBm', 'dBW', 'dBµV', 'dBV', 'dBµA', 'dBm/Hz', 'dBV/√Hz', 'mV', 'W'];
    for (const a of names)
      for (const b of names) {
        expect(db(a, b, 75, 3200) + db(b, a, 75, 3200)).toBeCloseTo(0, 9);
        expect(db(a, 'dBm', 75, 3200) + db('dBm', b, 75, 3200)).toBeCloseTo(db(a, b, 75, 3200), 9);
      }
  });

  test('what is right for noise and not for a line is said', () => {
    const known = { impedanceOhm: 50, noiseBandwidthHz: 1000 };
    expect(convertLevel(unit('dBm'), unit('dBm/Hz'), known)).toMatchObject({ isOfNoise: true });
    expect(convertLevel(unit('dBm'), unit('dBµV'), known)).toMatchObject({ isOfNoise: false });
  });

  test.each([
    ['dBm', 'dBµV', 'impedance'],
    ['dBm', 'dBm/Hz', 'resolution bandwidth'],
    ['dBµV/m', 'dBµV', 'antenna’s factor'],
    ['dBFS', 'dBm', 'dBFS is a ratio'],
    ['dB', 'dBm', 'dB is a ratio'],
  ])('%s to %s is refused with its reason', (from, to, said) => {
    expect(why(from, to)).toContain(said);
  });

  test('an unknown unit goes into none, not even into itself', () => {
    const unknown = { name: 'unknown', scale: 'decibel', perHz: false } as const;
    expect(convertLevel(unknown, unknown, { impedanceOhm: 50, noiseBandwidthHz: 1 })).toMatchObject({
      isDefined: false,
    });
  });
});
