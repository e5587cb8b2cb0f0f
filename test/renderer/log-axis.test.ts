import { describe, expect, test } from 'vitest';
import { logFrequencyTicks } from '../../src-renderer/plots/axis-ticks.ts';
import { teethIn, type CombRow } from '../../src-renderer/plots/comb-rows.ts';
import { scalesOf } from '../../src-renderer/plots/trace-plot-scales.ts';
import { Views } from '../../src-renderer/state/views.svelte.ts';

const range = { lowHz: 1e5, highHz: 1e8, lowDb: -120, highDb: -60, isLog: true };
const scales = scalesOf(900, 300, range);

describe('a logarithmic frequency axis', () => {
  test('gives every decade the same width, and back', () => {
    expect([1e5, 1e6, 1e7, 1e8].map((hz) => Math.round(scales.x(hz)))).toEqual([0, 300, 600, 900]);
    for (const hz of [1e5, 2.5e5, 3.3e6, 9.9e7]) expect(scales.hz(scales.x(hz)) / hz).toBeCloseTo(1, 12);
    for (const hz of [0, -5]) expect(scales.x(hz)).toBeLessThan(-100);
    expect(Number.isFinite(scales.x(0))).toBe(true);
  });

  test('that begins at nought hertz shows five decades under its end', () => {
    const from0 = scalesOf(500, 300, { ...range, lowHz: 0 });
    expect(from0.hz(0)).toBeCloseTo(1e3, 6);
    expect(Math.round(from0.x(1e8))).toBe(500);
  });

  test('linear stays as it was', () => {
    const linear = scalesOf(1000, 300, { ...range, isLog: false });
    expect(linear.x(5e7)).toBeCloseTo((5e7 - 1e5) / ((1e8 - 1e5) / 1000), 9);
    expect(linear.hz(linear.x(5e7))).toBeCloseTo(5e7, 3);
  });

  test('is labelled at 1, 2 and 5 of each decade, each with the unit it is read in', () => {
    const { ticks } = logFrequencyTicks(1e5, 1e8, 12);
    const words = ticks.filter(({ label }) => label !== null).map(({ label, unit }) => `${label} ${unit!.name}`);
    expect(words).toEqual('100 kHz,200 kHz,500 kHz,1 MHz,2 MHz,5 MHz,10 MHz,20 MHz,50 MHz,100 MHz'.split(','));
    expect(logFrequencyTicks(1e5, 1e8, 5).ticks.filter(({ label }) => label !== null)).toHaveLength(4);
    // within a decade equal steps say more
    expect(logFrequencyTicks(4e6, 9e6, 10).ticks.filter(({ label }) => label !== null).length).toBeGreaterThan(3);
  });

  test('zooming leaves the frequency under the hand where it was; all the way out is the whole capture', () => {
    const views = new Views();
    views.reset(1e5, 1e8);
    const placeOf = (hz: number) => scalesOf(900, 1, { ...views.current, lowDb: 0, highDb: 1, isLog: true }).x(hz);
    const before = placeOf(3e6);
    views.zoom(0.5, 3e6, true, true);
    expect(placeOf(3e6)).toBeCloseTo(before, 6);
    for (let i = 0; i < 5; i++) views.zoom(2, 3e6, true, true);
    expect(views.isWhole).toBe(true);
  });

  test('panning keeps the ratio of the ends and stops at either end', () => {
    const views = new Views();
    views.reset(1e5, 1e8);
    views.show({ lowHz: 1e6, highHz: 4e6 });
    views.pan(0.5, true, true);
    expect(views.current.highHz / views.current.lowHz).toBeCloseTo(4, 9);
    expect(views.current.lowHz).toBeCloseTo(2e6, 3);
    for (let i = 0; i < 20; i++) views.pan(0.5, true, true);
    expect(views.current.highHz).toBeCloseTo(1e8, 3);
    for (let i = 0; i < 40; i++) views.pan(-0.5, true, true);
    expect(views.current.lowHz).toBeCloseTo(1e5, 3);
  });

  test('teeth draw together upwards: where they cannot be told apart only the seen ones stay, with words', () => {
    const row: CombRow = {
      look: { key: 'A', letter: 'A', name: 'A', tint: 1, stripe: false },
      fundamentalHz: 3e5,
      halfHzPerHarmonic: 0,
      maxHarmonic: null,
      seen: new Map([[200, { spur: 7, isShared: false }]]),
      sentence: null,
      isMeasured: true,
    };
    const { teeth, words } = teethIn(row, 1e5, 1e8, 900, 1, (hz) => scales.x(hz));
    expect(teeth[0]!.x).toBeCloseTo(scales.x(3e5), 9);
    for (const [i, tooth] of teeth.slice(0, -2).entries()) expect(teeth[i + 1]!.x - tooth.x).toBeGreaterThanOrEqual(7);
    expect(teeth.at(-1)).toMatchObject({ harmonic: 200, spur: 7, state: 'seen' });
    expect(words).toMatch(/^teeth above .* too close to tell apart$/);
  });
});
