import { expect, test } from 'vitest';
import { pinned } from '../../src-renderer/state/photos.svelte.ts';

const PINS = [
  { pointId: 1, x: 0.1, y: 0.1 },
  { pointId: 2, x: 0.2, y: 0.2 },
];

test('a point has one pin: set again it moves, taken away the others stay', () => {
  expect(pinned(PINS, 1, { x: 0.5, y: 0.6 })).toEqual([PINS[1], { pointId: 1, x: 0.5, y: 0.6 }]);
  expect(pinned(PINS, 2, null)).toEqual([PINS[0]]);
  expect(pinned(PINS, 3, null)).toEqual(PINS);
});

test('a pin pushed off the picture stays at its edge', () => {
  expect(pinned([], 1, { x: -0.2, y: 1.7 })).toEqual([{ pointId: 1, x: 0, y: 1 }]);
});
