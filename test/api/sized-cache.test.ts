import { expect, test } from 'vitest';
import { SizedCache } from '../../src-main/api/sized-cache.ts';

test('what was not used longest goes first once the total is over', () => {
  const cache = new SizedCache<string, number>(10);
  cache.set('a', 1, 4);
  cache.set('b', 2, 4);
  expect(cache.get('a')).toBe(1);
  cache.set('c', 3, 4);
  expect([cache.get('a'), cache.get('b'), cache.get('c')]).toEqual([1, undefined, 3]);
});

test('an entry larger than all the room is kept alone', () => {
  const cache = new SizedCache<string, number>(10);
  cache.set('a', 1, 4);
  cache.set('huge', 2, 100);
  expect([cache.get('a'), cache.get('huge')]).toEqual([undefined, 2]);
  cache.set('b', 3, 1);
  expect([cache.get('huge'), cache.get('b')]).toEqual([undefined, 3]);
});

test('the same key again takes the place of the old entry and of its size', () => {
  const cache = new SizedCache<string, number>(10);
  for (let i = 0; i < 20; i++) cache.set('a', i, 6);
  cache.set('b', 1, 4);
  expect([cache.get('a'), cache.get('b')]).toEqual([19, 1]);
  cache.clear();
  expect(cache.get('a')).toBeUndefined();
});
