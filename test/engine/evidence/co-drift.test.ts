import { describe, expect, test } from 'vitest';
import { coDriftOf, type MovedCapture } from '../../../src-main/engine/evidence/co-drift.ts';

const capture = (ratios: MovedCapture['ratios'], lines: readonly number[], accident = 0.02): MovedCapture => ({
  file: `${ratios.join()}.csv`,
  ratios,
  standsAt: (hz) => lines.some((line) => Math.abs(line - hz) < 100),
  accident,
});

describe('coDriftOf(frequency, captures)', () => {
  test('a line that moved with one comb in two captures belongs there', () => {
    const found = coDriftOf(5e6, [capture([1.003, 0.998], [5.015e6]), capture([1.006, 0.996], [5.03e6])]);
    expect(found).toMatchObject({ combs: [0] });
    // two combs tried, 0.02 each time: 2 · 0.02² = 8e−4
    expect(found!.chance).toBeCloseTo(8e-4, 10);
  });

  test('one capture is too little where lines are that dense', () => {
    expect(coDriftOf(5e6, [capture([1.003, 0.998], [5.015e6])])).toBeNull();
    expect(coDriftOf(5e6, [capture([1.003, 0.998], [5.015e6], 0.001)])).toMatchObject({ combs: [0] });
  });

  test('missing once is not moving along', () => {
    expect(coDriftOf(5e6, [capture([1.003], [5.015e6]), capture([1.006], [5.04e6])])).toBeNull();
  });

  test('combs that moved alike are both named: drift does not tell siblings apart', () => {
    const found = coDriftOf(5e6, [capture([1.003, 1.003], [5.015e6]), capture([1.006, 1.006], [5.03e6])]);
    expect(found!.combs).toEqual([0, 1]);
  });

  test('without captures, without combs, or where none moved there is nothing', () => {
    expect(coDriftOf(5e6, [])).toBeNull();
    expect(coDriftOf(5e6, [capture([], [5e6])])).toBeNull();
    expect(coDriftOf(5e6, [capture([null], [5e6], 1e-9)])).toBeNull();
  });
});
