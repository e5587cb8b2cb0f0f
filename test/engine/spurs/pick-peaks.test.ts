import { describe, expect, test } from 'vitest';
import { filterResponse } from '../../../src-main/engine/spurs/line-shape.ts';
import { pickPeaks, type WidestSkirt } from '../../../src-main/engine/spurs/pick-peaks.ts';

const skirt: WidestSkirt = { widthPoints: 1, response: (x) => filterResponse(x, 1, 'four-pole') };
/** Scatter of held sweeps: hardly anything averages out. */
const variance = (signal: number): number => (0.9 + Math.sqrt(2 * signal) * 0.6) ** 2;
const tops = (ratio: readonly number[], widest: WidestSkirt | null): number[] =>
  pickPeaks(
    Float64Array.from(ratio),
    Uint8Array.from(ratio, (r) => (r > 12 ? 1 : 0)),
    variance,
    2,
    widest,
  ).map(({ peak }) => peak);

describe('pickPeaks(ratio, detected, variance, keepAbove, skirt)', () => {
  // a line of 300, a valley that stays over the floor, a line of 30 four widths off
  const apart = [1, 1, 60, 300, 60, 8, 12, 30, 10, 1, 1];

  test('a lesser peak that no skirt of the greater makes is parted by a shallower saddle', () => {
    expect(tops(apart, null)).toEqual([3]);
    expect(tops(apart, skirt)).toEqual([3, 7]);
  });

  test('not where it lies within two widths, nor where the greater’s skirt is as strong there', () => {
    expect(tops(apart, { ...skirt, widthPoints: 3 })).toEqual([3]);
    expect(tops(apart, { ...skirt, response: () => 0.1 })).toEqual([3]);
  });

  test('not where the valley is no deeper than noise makes it', () => {
    expect(tops([1, 1, 60, 300, 60, 27, 26, 30, 10, 1, 1], skirt)).toEqual([3]);
  });

  test('a saddle deep enough parts peaks at any distance', () => {
    expect(tops([1, 1, 60, 3000, 1.5, 3000, 60, 1, 1], null)).toEqual([3, 5]);
  });
});
