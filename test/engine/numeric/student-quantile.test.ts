import { describe, expect, it } from 'vitest';
import { studentTwoSided } from '../../../src-main/engine/numeric/student-quantile.ts';

describe('studentTwoSided', () => {
  // Two-sided 5 % and 1 % points as printed in every table of Student's t (first: Fisher & Yates; from memory), and SciPy 1.10.1 t.ppf.
  it.each([
    [0.05, 1, 12.706],
    [0.05, 2, 4.303],
    [0.05, 3, 3.182],
    [0.05, 10, 2.228],
    [0.05, 30, 2.042],
    [0.01, 4, 4.604],
    [0.01, 5, 4.032],
    [0.05, 300, 1.968],
    [0.05, Infinity, 1.96],
    [0.0027, Infinity, 3],
    [0.0027, 3, 9.219],
  ])('at a rate of %d with %d degrees is %d', (rate, degrees, expected) => {
    expect(studentTwoSided(rate, degrees)).toBeCloseTo(expected, 3);
  });

  it('falls with the degrees of freedom towards the normal quantile, also where the formula changes', () => {
    const values = [1, 2, 5, 20, 100, 200, 201, 1000, Infinity].map((degrees) => studentTwoSided(0.0027, degrees));
    expect(values).toEqual([...values].sort((a, b) => b - a));
  });
});
