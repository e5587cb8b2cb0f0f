import fc from 'fast-check';
import { expect, test } from 'vitest';
import { besideOf, boundsWithin, SMALLEST, type Bounds } from '../../../src-main/hosts/electron/window-bounds.ts';

const LEFT: Bounds = { x: 0, y: 25, width: 1920, height: 1055 };
const RIGHT: Bounds = { x: 1920, y: 0, width: 2560, height: 1440 };

test.each([
  ['nothing kept: the middle of the first display', null, [LEFT, RIGHT], { x: 240, y: 103, width: 1440, height: 900 }],
  [
    'inside: as it was',
    { x: 2000, y: 100, width: 1300, height: 900 },
    [LEFT, RIGHT],
    { x: 2000, y: 100, width: 1300, height: 900 },
  ],
  [
    'its display is gone: moved to the one there is',
    { x: 2500, y: 100, width: 1300, height: 900 },
    [LEFT],
    { x: 620, y: 100, width: 1300, height: 900 },
  ],
  [
    'half off the edge: pushed in',
    { x: -600, y: -40, width: 1300, height: 900 },
    [LEFT, RIGHT],
    { x: 0, y: 25, width: 1300, height: 900 },
  ],
  [
    'across two: wholly on the one it covers more of',
    { x: 1800, y: 100, width: 1300, height: 900 },
    [LEFT, RIGHT],
    { x: 1920, y: 100, width: 1300, height: 900 },
  ],
  ['larger than the display: as large as that', { x: 0, y: 0, width: 4000, height: 3000 }, [LEFT], LEFT],
  ['smaller than can be worked in', { x: 50, y: 50, width: 200, height: 100 }, [LEFT], { x: 50, y: 50, ...SMALLEST }],
  ['no display told of', null, [], { x: 0, y: 0, width: 1440, height: 900 }],
] as const)('%s', (_, kept, areas, expected) => {
  expect(boundsWithin(kept, areas)).toEqual(expected);
});

test('whatever was kept, the window lies within one display that has room for it, and putting it there again moves nothing', () => {
  const place = fc.integer({ min: -10_000, max: 10_000 });
  const size = fc.integer({ min: 0, max: 10_000 });
  const kept = fc.record({ x: place, y: place, width: size, height: size });
  const area = fc.record({
    x: place,
    y: place,
    width: fc.integer({ min: 1100, max: 8000 }),
    height: fc.integer({ min: 700, max: 5000 }),
  });
  fc.assert(
    fc.property(kept, fc.array(area, { minLength: 1, maxLength: 4 }), (from, areas) => {
      const put = boundsWithin(from, areas);
      const isWithin = (a: Bounds) =>
        put.x >= a.x && put.y >= a.y && put.x + put.width <= a.x + a.width && put.y + put.height <= a.y + a.height;
      expect(areas.some(isWithin)).toBe(true);
      expect(put.width).toBeGreaterThanOrEqual(SMALLEST.width);
      const again = boundsWithin(put, areas.filter(isWithin));
      expect(again).toEqual(put);
    }),
    { seed: 9, numRuns: 300 },
  );
});

test('a further window stands a step beside the one it came from', () => {
  expect(besideOf({ x: 10, y: 20, width: 1200, height: 800 })).toEqual({ x: 42, y: 52, width: 1200, height: 800 });
});
