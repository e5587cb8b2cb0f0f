import { describe, expect, it } from 'vitest';
import { conversionDb, placeOfUnit } from '../../../src-main/engine/tracking/level-scale.ts';

const place = (name: string, scale: 'decibel' | 'power' | 'amplitude' = 'decibel') =>
  placeOfUnit({ name, scale, perHz: false })!;

describe('conversionDb', () => {
  // Arithmetic of 50 Ω; the same figures as in the published conversion table (106.9897; −30; 60; 120).
  it.each([
    ['dBm', 'dBµV', 106.9897],
    ['dBµV', 'dBm', -106.9897],
    ['dBW', 'dBm', 30],
    ['dBmV', 'dBµV', 60],
    ['dBV', 'dBµV', 120],
    ['dBV', 'dBm', 13.0103],
    ['dBm', 'dBm', 0],
    ['dBµA', 'dBA', -120],
  ])('from %s to %s adds %d dB', (from, to, expected) => {
    expect(conversionDb(place(from), place(to))!.offsetDb).toBeCloseTo(expected, 4);
  });

  it('reads linear units and squared ones as their own decibels', () => {
    expect(conversionDb(place('V', 'amplitude'), place('dBV'))!.offsetDb).toBe(0);
    expect(conversionDb(place('mV', 'amplitude'), place('dBV'))!.offsetDb).toBe(-60);
    expect(conversionDb(place('V²', 'power'), place('dBV'))!.offsetDb).toBe(0);
    expect(conversionDb(place('mW', 'power'), place('dBm'))!.offsetDb).toBeCloseTo(0, 12);
    expect(place('V', 'amplitude').name).toBe('dBV');
  });

  it('takes either mu and a plain u for micro', () => {
    for (const name of ['dB\u00b5V', 'dB\u03bcV', 'dBuV', 'dBUV', 'dB uV'])
      expect(conversionDb(place(name), place('dBµV'))!.offsetDb, name).toBe(0);
  });

  it('compares an unfamiliar decibel scale with itself only, and currents not with powers', () => {
    expect(conversionDb(place('dBFS'), place('dBFS'))).toEqual({ offsetDb: 0, in50Ohm: false });
    expect(conversionDb(place('dBFS'), place('dBm'))).toBeNull();
    expect(conversionDb(place('dBµA'), place('dBm'))).toBeNull();
  });

  it('knows no place for an unknown unit', () => {
    for (const name of ['unknown', '', ' ']) expect(placeOfUnit({ name, scale: 'decibel', perHz: false })).toBeNull();
  });
});
