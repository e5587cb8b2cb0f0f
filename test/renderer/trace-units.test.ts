import { describe, expect, test } from 'vitest';
import { UNKNOWN_SETTINGS } from '../../src-main/model/capture.ts';
import { parseLevelUnit } from '../../src-main/units/parse-unit.ts';
import { placeTraces, unitsOf, wantsImpedance } from '../../src-renderer/state/trace-units.ts';

const trace = (unit: string, rbwHz: number | null = 3000) => ({
  label: '',
  points: 100,
  blankPoints: 0,
  startHz: 1e6,
  stopHz: 2e6,
  unit: unit === 'unknown' ? ({ name: 'unknown', scale: 'decibel', perHz: false } as const) : parseLevelUnit(unit)!,
  settings: { ...UNKNOWN_SETTINGS, rbwHz, rbwShape: 'noise' as const },
});
const laid = (...units: string[]) => units.map((unit, id) => ({ id, trace: trace(unit), unit: null }));
const onBench = (unit: string, wished: string | null = null) => ({ trace: trace(unit), unit: wished });

describe('placeTraces()', () => {
  test('a trace whose unit goes into that of the axis is drawn on it, moved by the conversion', () => {
    const { right, laid: placed } = placeTraces(onBench('dBm'), laid('dBW', 'dBm'), null);
    expect(right).toBeNull();
    expect(placed.get(0)).toMatchObject({ axis: 'left', unit: 'dBm', db: 30 });
    expect(placed.get(1)).toMatchObject({ axis: 'left', unit: 'dBm', db: 0 });
  });

  test('volts against watts: an axis of their own, until the impedance is stated (107 dB in 50 Ω, A.H. Systems)', () => {
    const before = placeTraces(onBench('dBm'), laid('dBµV'), null);
    expect(before.right).toBe('dBµV');
    expect(before.laid.get(0)).toMatchObject({
      axis: 'right',
      db: 0,
      why: expect.stringContaining('impedance') as string,
    });
    const after = placeTraces(onBench('dBm'), laid('dBµV'), 50);
    expect(after.right).toBeNull();
    expect(after.laid.get(0)).toMatchObject({ axis: 'left', unit: 'dBm' });
    expect((after.laid.get(0) as { db: number }).db).toBeCloseTo(-106.99, 2);
  });

  test('a level per hertz goes into a level by the RBW, and that it is true of noise only is said', () => {
    const { laid: placed } = placeTraces(onBench('dBm'), laid('dBm/Hz'), null);
    expect(placed.get(0)).toMatchObject({ axis: 'left', isOfNoise: true });
    expect((placed.get(0) as { db: number }).db).toBeCloseTo(10 * Math.log10(3000), 9);
    const blind = [{ id: 0, trace: trace('dBm/Hz', null), unit: null }];
    expect(placeTraces(onBench('dBm'), blind, null).laid.get(0)).toMatchObject({
      axis: 'right',
      why: expect.stringContaining('resolution bandwidth') as string,
    });
  });

  test('a third unit that goes into neither axis is not drawn, with the plain reason', () => {
    const { right, laid: placed } = placeTraces(onBench('dBm'), laid('dBµV/m', 'unknown', 'dBµV/m'), 50);
    expect(right).toBe('dBµV/m');
    expect(placed.get(1)).toMatchObject({ axis: 'none', why: expect.stringContaining('does not say') as string });
    expect(placed.get(2)).toMatchObject({ axis: 'right' });
  });

  test('the unit asked for the bench’s trace moves the axis, and what was asked for one laid over takes it to the right', () => {
    const {
      left,
      right,
      laid: placed,
    } = placeTraces(onBench('dBm', 'dBµV'), [{ id: 7, trace: trace('dBW'), unit: 'dBV' }], 50);
    expect(left.unit).toBe('dBµV');
    expect(left.db).toBeCloseTo(106.99, 2);
    expect(right).toBe('dBV');
    expect((placed.get(7) as { db: number }).db).toBeCloseTo(30 + 106.99 - 120, 2);
  });

  test('a unit asked for that cannot be any more falls back to the trace’s own', () => {
    expect(placeTraces(onBench('dBm', 'dBµV'), [], null).left).toEqual({ unit: 'dBm', db: 0, isOfNoise: false });
  });
});

describe('unitsOf(trace)', () => {
  test('offers what a conversion is defined to, the own unit first', () => {
    expect(unitsOf(trace('dBm'), null)).toEqual(['dBm', 'dBW', 'dBm/Hz']);
    expect(unitsOf(trace('dBm', null), null)).toEqual(['dBm', 'dBW']);
    expect(unitsOf(trace('dBm'), 50)).toContain('dBµV');
    expect(unitsOf(trace('dBm'), 50)).not.toContain('dBµV/m');
    expect(unitsOf(trace('unknown'), 50)).toEqual(['dB, unit unknown']);
  });

  test('an impedance is asked for only where it would open something', () => {
    expect([wantsImpedance(trace('V')), wantsImpedance(trace('dBµV/m'))]).toEqual([true, false]);
  });
});
