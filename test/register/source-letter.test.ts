import { expect, test } from 'vitest';
import { letterOf } from '../../src-main/register/source-letter.ts';

test('letterOf(place) counts A … Z, AA … ZZ, AAA …, each letter once', () => {
  expect([0, 25, 26, 27, 701, 702].map(letterOf)).toEqual(['A', 'Z', 'AA', 'AB', 'ZZ', 'AAA']);
  expect(new Set(Array.from({ length: 2000 }, (_, i) => letterOf(i))).size).toBe(2000);
});
