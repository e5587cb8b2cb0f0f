import { describe, expect, test } from 'vitest';
import { besideEarlierLine } from '../../../src-main/engine/tracking/beside-earlier-line.ts';
import { besideMovedTooth } from '../../../src-main/engine/tracking/beside-moved-tooth.ts';
import type { View } from '../../../src-main/engine/tracking/whereabouts.ts';

/** Just the columns that these two questions look at. */
function view(own: readonly [number, number][], other: readonly [number, number][], more: object = {}): View {
  const set = (lines: readonly [number, number][]) => ({
    count: lines.length,
    frequencyHz: Float64Array.from(lines, ([f]) => f),
    levelDb: Float64Array.from(lines, ([, level]) => level),
    resolutionHz: new Float64Array(lines.length).fill(1000),
    owners: lines.map(() => []),
    groups: [{ name: 'V4', fundamentalHz: 200e3, fundamentalSigmaHz: 1, members: [] }],
  });
  return {
    own: { lines: set(own) },
    other: { lines: set(other) },
    moves: [{ ratio: 1.01 }],
    ...more,
  } as unknown as View;
}

describe('besideEarlierLine(view, j)', () => {
  test.each([
    ['one and a half resolutions away and as strong', 1500, -60, true],
    ['one and a half resolutions away and ten dB weaker', 1500, -70, true],
    ['one and a half resolutions away and eleven dB weaker', 1500, -71, false],
    ['two resolutions away', 2000, -40, false],
  ])('a line %s: %s Hz, %s dB → %s', (_, awayHz, levelDb, expected) => {
    expect(besideEarlierLine(view([[10e6, -60]], [[10e6 + awayHz, levelDb]]), 0)).toBe(expected);
  });

  test('no line on the other side is no neighbour', () => {
    expect(besideEarlierLine(view([[10e6, -60]], []), 0)).toBe(false);
  });
});

describe('besideMovedTooth(view, i)', () => {
  test('names the family whose moved tooth cannot be told from an unowned line', () => {
    expect(besideMovedTooth(view([[10_000_600, -60]], []), 0)).toBe('V4');
  });

  test('says nothing of a line farther than the resolution, of an owned line, or of a family that stayed', () => {
    expect(besideMovedTooth(view([[10_001_500, -60]], []), 0)).toBeNull();
    const owned = view([[10_000_600, -60]], []);
    (owned.own.lines.owners as number[][])[0] = [0];
    expect(besideMovedTooth(owned, 0)).toBeNull();
    expect(besideMovedTooth(view([[10_000_600, -60]], [], { moves: [null] }), 0)).toBeNull();
    expect(besideMovedTooth(view([[10_000_600, -60]], [], { moves: [{ ratio: 1 + 1e-6 }] }), 0)).toBeNull();
  });
});
