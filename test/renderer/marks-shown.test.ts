import { describe, expect, test } from 'vitest';
import { marksShown, rowsBetween } from '../../src-renderer/plots/marks-shown.ts';
import type { SpurRow } from '../../src-renderer/state/spur-rows.ts';

const row = (index: number, frequencyHz: number, levelDb: number) =>
  ({ index, spur: { frequencyHz, levelDb } }) as unknown as SpurRow;
const none = () => false;
const same = (hz: number) => hz;

describe('marksShown(rows, x, width, stepPx, isKept, chosen)', () => {
  test('of marks within one stretch the strongest stands for all', () => {
    const rows = [row(0, 10, -90), row(1, 11, -70), row(2, 30, -99)];
    expect(marksShown(rows, same, 100, 4, none, null).map(({ index }) => index)).toEqual([1, 2]);
  });

  test('the chosen and the lit are never left out, and the chosen is painted last', () => {
    const rows = [row(0, 10, -90), row(1, 10.5, -70), row(2, 11, -95)];
    expect(marksShown(rows, same, 100, 4, ({ index }) => index === 2, 0).map(({ index }) => index)).toEqual([1, 2, 0]);
  });

  test('what is out of sight is left out, and ten thousand spurs become no more than the plot has stretches', () => {
    const rows = Array.from({ length: 10_000 }, (_, i) => row(i, i / 10, -100 + (i % 37)));
    const shown = marksShown(rows, same, 500, 4, none, null);
    expect(shown.length).toBeLessThanOrEqual(500 / 4 + 8);
    expect(shown.every(({ spur }) => spur.frequencyHz <= 512)).toBe(true);
    expect(shown.some(({ spur }) => spur.levelDb === -64)).toBe(true);
  });
});

test('rowsBetween gives the rows from the low frequency up to, but not with, the high one', () => {
  const rows = [10, 20, 20, 30, 40].map((hz, i) => row(i, hz, 0));
  const indices = (low: number, high: number) => rowsBetween(rows, low, high).map(({ index }) => index);
  expect(indices(20, 40)).toEqual([1, 2, 3]);
  expect(indices(-5, 10)).toEqual([]);
  expect(indices(0, 1e9)).toEqual([0, 1, 2, 3, 4]);
  expect(rowsBetween([], 0, 1)).toEqual([]);
});
