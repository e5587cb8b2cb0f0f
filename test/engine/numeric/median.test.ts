import { expect, test } from 'vitest';
import { median } from '../../../src-main/engine/numeric/median.ts';

test.each([
  [[3], 3],
  [[4, 1], 2.5],
  [[9, -1, 4], 4],
  [[10, 2, 8, 4], 6],
  [[1, 1, 1, 1e30], 1],
  [[], NaN],
])('the middle of %j is %d', (values, middle) => {
  expect(median(values)).toBe(middle);
});

test('the values given stay in their order', () => {
  const values = [3, 1, 2];
  median(values);
  expect(values).toEqual([3, 1, 2]);
});
