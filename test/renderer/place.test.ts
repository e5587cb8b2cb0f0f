import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readPlace, type Place } from '../../src-renderer/state/place.ts';
import { indexNear } from '../../src-renderer/state/place-of-spur.ts';
import type { SpurRow } from '../../src-renderer/state/spur-rows.ts';

const PLACE: Place = {
  screen: 'plan',
  captureId: 7,
  view: { lowHz: 1e6, highHz: 2e6, lowDb: null, highDb: -40 },
  spurHz: 1.5e6,
  isLog: true,
  lower: 'waterfall',
  sortKey: 'over',
  descending: true,
  text: 'a24',
  cause: 'ambiguous',
  source: '5V-MAIN',
  grid: { isShown: true, order: 'worst', source: '5V-MAIN', band: 'low' },
};

describe('readPlace', () => {
  test('what a page wrote is read as it was', () => {
    expect(readPlace(JSON.stringify(PLACE))).toEqual(PLACE);
  });

  test.each([null, '', 'nonsense', '3', 'null'])('%j is no place', (text) => {
    expect(readPlace(text)).toBeNull();
  });

  test('parts that cannot be read are as at the first start, and keep no other part from being read', () => {
    const kept = { ...PLACE, screen: 'a screen of tomorrow', view: { lowHz: 5, highHz: 5 }, sortKey: 3, grid: 'all' };
    expect(readPlace(JSON.stringify(kept))).toEqual({
      ...PLACE,
      screen: 'bench',
      view: null,
      sortKey: 'frequency',
      grid: { isShown: false, order: 'source', source: null, band: null },
    });
  });

  test('whatever JSON is kept, a place comes out that can be gone to', () => {
    fc.assert(
      fc.property(fc.dictionary(fc.constantFrom(...Object.keys(PLACE)), fc.jsonValue()), (kept) => {
        const place = readPlace(JSON.stringify(kept))!;
        expect(Object.keys(place).sort()).toEqual(Object.keys(PLACE).sort());
        expect(place.view === null || place.view.lowHz < place.view.highHz).toBe(true);
        expect(readPlace(JSON.stringify(place))).toEqual(place);
      }),
      { seed: 4, numRuns: 200 },
    );
  });
});

test('the chosen spur is found again where it stood, and none in its place where it is gone', () => {
  const rows = [1e6, 2e6].map((frequencyHz, index) => ({ index, spur: { frequencyHz, widthHz: 1000 } }) as SpurRow);
  expect(indexNear(rows, 2_000_400)).toBe(1);
  expect(indexNear(rows, 1_500_000)).toBeNull();
});
