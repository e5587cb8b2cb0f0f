import { describe, expect, test } from 'vitest';
import { conversionDb, farFieldDb, thermalNoiseDbm } from '../../src-main/units/conversions.ts';
import { parseLevelUnit } from '../../src-main/units/parse-unit.ts';

const between = (from: string, to: string, ohm?: number): number | null =>
  conversionDb(parseLevelUnit(from)!, parseLevelUnit(to)!, ohm);

describe('conversionDb(from, to, impedanceOhm)', () => {
  // "107", "73" and "34" are the rounded values of A.H. Systems, Typical conversion formulas; the digits behind are computed
  test.each([
    ['dBm', 'dBµV', 50, 106.9897],
    ['dBm', 'dBµV', 75, 108.7506],
    ['dBm', 'dBµV', 600, 117.7815],
    ['dBm', 'dBµA', 50, 73.0103],
    ['dBµV', 'dBµA', 50, -33.9794],
    ['dBW', 'dBm', 50, 30],
    ['V', 'dBm', 50, 13.0103],
    ['mV²', 'dBV', 50, -60],
    ['dBmV', 'dBµV', 50, 60],
    ['mW', 'dBm', 50, 0],
    ['nV/√Hz', 'dBm/Hz', 50, -166.9897],
    ['dBµV/m', 'dBV/m', 50, -120],
  ])('%s to %s in %d Ω adds %d dB', (from, to, ohm, db) => {
    expect(between(from, to, ohm)).toBeCloseTo(db, 3);
    expect(between(to, from, ohm)).toBeCloseTo(-db, 3);
  });

  test('a worked example: 107 dBµV into 50 Ω are 0 dBm and 73 dBµA (emc-pstc list, message 30389)', () => {
    expect(107 + between('dBµV', 'dBm')!).toBeCloseTo(0, 1);
    expect(107 + between('dBµV', 'dBµA')!).toBeCloseTo(73, 1);
  });

  test('power by Ohm’s law: 1 µV over 50 Ω', () => {
    expect(between('dBµV', 'dBW')).toBeCloseTo(10 * Math.log10(1e-6 ** 2 / 50), 9);
  });

  test.each([
    ['dBµV/m', 'dBm'],
    ['dB', 'dBm'],
    ['dBFS', 'dBm'],
    ['dBm/Hz', 'dBm'],
  ])('%s to %s has none', (from, to) => {
    expect(between(from, to)).toBeNull();
  });

  test('an unknown unit has none, not even to itself', () => {
    const unknown = { name: 'unknown', scale: 'decibel', perHz: false } as const;
    expect(conversionDb(unknown, unknown)).toBeNull();
  });
});

describe('fields', () => {
  // A.H. Systems, Typical conversion formulas, prints "+2"; 1.984 is computed
  test.each([
    ['dBµA/m', 'dBpT', 1.984],
    ['dBA/m', 'dBµA/m', 120],
    ['dBV/m', 'dBµV/m', 120],
  ])('%s to %s adds %d dB, near or far', (from, to, db) => {
    expect(between(from, to)).toBeCloseTo(db, 3);
    expect(between(to, from)).toBeCloseTo(-db, 3);
  });

  // the same source: "51.5" and "115.8"
  test('a plane wave carries 51.52 dB less in dBµA/m and 115.76 dB less in dBm/m² than in dBµV/m', () => {
    const wave = farFieldDb(parseLevelUnit('dBµV/m')!)!;
    expect(wave.magneticDb).toBeCloseTo(-51.5206, 3);
    expect(wave.powerDb).toBeCloseTo(-115.76, 3);
    // E = √(377·S): 1 W/m² are 19.41 V/m
    expect(farFieldDb(parseLevelUnit('dBV/m')!)!.powerDb).toBeCloseTo(30 - 20 * Math.log10(19.41), 2);
  });

  test('an electric field is never taken for a magnetic one, nor a field for what stands at a port, unless somebody asks for the far field', () => {
    expect(between('dBµV/m', 'dBµA/m')).toBeNull();
    expect(between('dBpT', 'dBµV')).toBeNull();
    for (const name of ['dBm', 'dBµA/m', 'dBpT', 'dB']) expect(farFieldDb(parseLevelUnit(name)!)).toBeNull();
  });
});

describe('thermalNoiseDbm(bandwidthHz, temperatureK)', () => {
  // k is exact in the SI; -174 dBm/Hz at 290 K is the handbook value
  test.each([
    [1, 290, -173.975],
    [1, 300, -173.828],
    [1e3, 290, -143.975],
    [9e3, 290, -134.433],
    [120e3, 290, -123.183],
    [1e6, 290, -113.975],
  ])('k·T·B in %d Hz at %d K is %d dBm', (hz, kelvin, dbm) => {
    expect(thermalNoiseDbm(hz, kelvin)).toBeCloseTo(dbm, 3);
  });
});
