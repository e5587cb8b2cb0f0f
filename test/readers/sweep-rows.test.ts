import { describe, expect, test } from 'vitest';
import { readCapture } from '../../src-main/readers/read-capture.ts';
import { ascii } from './build.ts';

const read = (text: string) => readCapture(ascii(text), 'sweep.csv');
const row = (time: string, low: number, high: number, step: string, levels: readonly number[]) =>
  `2026-03-01, ${time}, ${low}, ${high}, ${step}, 64, ${levels.map((level) => level.toFixed(2)).join(', ')}\n`;

describe('readCapture(rows of sweep segments)', () => {
  test('segments of n bins make one axis, at low + i · step', () => {
    const { traces, waterfalls, layout } = read(
      row('10:00:00', 1000, 1400, '100.00', [-1, -2, -3, -4]) + row('10:00:00', 1400, 1800, '100.00', [-5, -6, -7, -8]),
    );
    expect([...traces[0]!.frequencyHz]).toEqual([1000, 1100, 1200, 1300, 1400, 1500, 1600, 1700]);
    expect([...traces[0]!.level]).toEqual([-1, -2, -3, -4, -5, -6, -7, -8]);
    expect(traces).toHaveLength(1);
    expect(waterfalls).toBeUndefined();
    expect(layout).toMatch(/1 sweep\(s\) of 2 segment/);
  });

  test('edges that both segments have count once', () => {
    const { traces, warnings } = read(
      row('10:00:00', 1000, 1400, '100', [-1, -2, -3, -4, -5]) +
        row('10:00:00', 1400, 1800, '100', [-6, -7, -8, -9, -10]),
    );
    expect([...traces[0]!.frequencyHz]).toEqual([1000, 1100, 1200, 1300, 1400, 1500, 1600, 1700, 1800]);
    expect([...traces[0]!.level]).toEqual([-1, -2, -3, -4, -5, -7, -8, -9, -10]);
    expect(warnings.join()).toMatch(/1 points are covered by two segments/);
  });

  test('of overlapping segments the level farther from its own edge is taken', () => {
    const { traces } = read(
      row('10:00:00', 0, 800, '100', [0, 0, 0, 0, 0, 0, 0, 0]) +
        row('10:00:00', 400, 1200, '100', [9, 9, 9, 9, 9, 9, 9, 9]),
    );
    expect([...traces[0]!.frequencyHz]).toEqual(Array.from({ length: 12 }, (_, i) => 100 * i));
    expect([...traces[0]!.level]).toEqual([0, 0, 0, 0, 0, 0, 9, 9, 9, 9, 9, 9]);
  });

  test('a last level that is a copy of the one before does not count', () => {
    const rows = Array.from({ length: 12 }, (_, s) =>
      row(`10:00:${10 + s}`, 1000, 1400, '100', [-1 - s, -2, -3, -4 - s, -4 - s]),
    );
    const { traces, warnings } = read(rows.join(''));
    expect([...traces[0]!.frequencyHz]).toEqual([1000, 1100, 1200, 1300]);
    expect(warnings.join()).toMatch(/last level a second time/);
  });

  test('sweeps: a waterfall, the mean of power and the last sweep that is whole', () => {
    const sweep = (s: number, level: number) =>
      row(`10:00:0${s}`, 1000, 1200, '100', [-90, level]) + row(`10:00:0${s}`, 1200, 1400, '100', [-91, -92]);
    const { traces, waterfalls, warnings } = read(
      sweep(0, 0) + sweep(2, 10) + row('10:00:04', 1000, 1200, '100', [-90, 20]),
    );
    expect(waterfalls![0]).toMatchObject({ rows: 3 });
    expect([...waterfalls![0]!.rowStartS!]).toEqual([0, 2, 4]);
    expect([...waterfalls![0]!.level.slice(8)]).toEqual([-90, 20, NaN, NaN]);
    // the numbers themselves are averaged: the file states no unit
    expect(traces[0]!.level[1]).toBe(10);
    expect(traces[0]!.level[2]).toBe(-91);
    expect([...traces[1]!.level]).toEqual([-90, 10, -91, -92]);
    expect(warnings.join()).toMatch(/1 of 3 sweeps lack segments/);
  });

  test('with a unit that the user states the mean is one of power', () => {
    const text = row('10:00:00', 1000, 1200, '100', [-90, 0]) + row('10:00:02', 1000, 1200, '100', [-90, 10]);
    const { traces } = readCapture(ascii(text), 'sweep.csv', new Map(), { unit: 'dBm' });
    expect(traces[0]!.level[1]).toBeCloseTo(10 * Math.log10((1 + 10) / 2), 9);
  });

  test('a step rounded in the file does not shift the far end of a long segment', () => {
    const n = 4096;
    const levels = Array.from({ length: n }, () => -80);
    const { traces } = read(
      row('10:00:00', 100e6, 101e6, (1e6 / n).toFixed(2), levels) +
        row('10:00:00', 101e6, 102e6, (1e6 / n).toFixed(2), levels),
    );
    expect(traces[0]!.frequencyHz).toHaveLength(2 * n);
    expect(traces[0]!.frequencyHz[n]).toBe(101e6);
  });

  test('segments in any order, dates over midnight, infinities and not-a-numbers', () => {
    const text = `2026-02-28, 23:59:59, 1400, 1600, 100, 1, -5, nan\n2026-02-28, 23:59:59, 1000, 1200, 100, 1, -inf, -2\n2026-03-01, 00:00:01, 1400, 1600, 100, 1, -5, -6\n2026-03-01, 00:00:01, 1000, 1200, 100, 1, -1, -2\n`;
    const { waterfalls } = read(text);
    expect([...waterfalls![0]!.level]).toEqual([NaN, -2, -5, NaN, -1, -2, -5, -6]);
    expect([...waterfalls![0]!.rowStartS!]).toEqual([0, 2]);
  });

  test('a row cut off at the end is left out and told of; one in the middle is refused with its line', () => {
    const good = row('10:00:00', 1000, 1400, '100.00', [-1, -2, -3, -4]);
    const cut = read(good + good.replace('10:00:00', '10:00:01') + good.slice(0, -12));
    expect(cut.traces[0]!.level).toHaveLength(4);
    expect(cut.warnings.join()).toMatch(/Line 3, the last.*cut off/);
    expect(() => read(good + 'garbage, 1\n' + good)).toThrow(/line 2/);
    expect(() => read(good + row('10:00:01', 1000, 1400, '50', [-1, -2, -3, -4, -5, -6, -7, -8]))).toThrow(/line 2/);
  });

  test('is told from a table of dates and levels, and found under remarks', () => {
    expect(
      readCapture(ascii('# taken on the roof\n' + row('10:00:00', 1000, 1400, '100', [-1, -2, -3, -4])), 'a.txt')
        .layout,
    ).toMatch(/sweep segments/);
  });
});
