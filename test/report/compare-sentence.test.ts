import { expect, test } from 'vitest';
import type { Track, TrackStatus } from '../../src-main/model/track.ts';
import { compareSentence } from '../../src-main/report/compare-sentence.ts';

function tracks(counts: Partial<Record<TrackStatus, number>>, source: string | null): Track[] {
  return Object.entries(counts).flatMap(([status, count]) =>
    Array.from({ length: count }, (): Track => ({
      status: status as TrackStatus,
      beforeSpur: status === 'new' || status === 'back' ? null : 0,
      afterSpur: null,
      changeDb: null,
      changeSigmaDb: null,
      atLeastDb: null,
      shiftHz: null,
      upperLimitDb: null,
      exercised: 'unknown',
      source,
      harmonic: null,
      why: '',
    })),
  );
}

const risen = { spurs: 4, lowHz: 2.6e6, highHz: 5.6e6, riseDb: 13.2 };
const nowhere = { risenFloor: null, risenElsewhere: null };

test.each([
  {
    of: { cleared: 3, weaker: 5, hidden: 4 },
    risenFloor: risen,
    says: 'Three of 3V3-DIG’s twelve spurs cleared, five weaker. Four cannot be judged: the floor rose 13 dB at 2.6–5.6 MHz.',
  },
  { of: { persists: 2 }, risenFloor: null, says: 'Both of 3V3-DIG’s spurs are unchanged.' },
  { of: { cleared: 1 }, risenFloor: null, says: '3V3-DIG’s one spur is cleared.' },
  {
    of: { hidden: 1 },
    risenFloor: null,
    says: '3V3-DIG’s one spur cannot be judged: one hidden, since the noise of the later capture would hide it.',
  },
  {
    of: { hidden: 2, uncovered: 1 },
    risenFloor: { ...risen, spurs: 2 },
    says: 'None of 3V3-DIG’s three spurs can be judged: two hidden, since the floor rose 13 dB at 2.6–5.6 MHz. One lies outside the later span.',
  },
  { of: { persists: 3 }, risenFloor: null, says: 'All three of 3V3-DIG’s spurs are unchanged.' },
  { of: {}, risenFloor: null, says: '3V3-DIG had no spur before.' },
])('of $of it says: $says', ({ of, risenFloor, says }) => {
  expect(
    compareSentence({ tracks: tracks(of, '3V3-DIG'), sources: ['3V3-DIG'], risenFloor, risenElsewhere: null }),
  ).toBe(says);
});

test('what got worse elsewhere is said, and of whom', () => {
  const all = [
    ...tracks({ cleared: 2 }, 'A'),
    ...tracks({ stronger: 1, persists: 4 }, 'B'),
    ...tracks({ new: 2 }, null),
  ];
  expect(compareSentence({ tracks: all, sources: ['A'], ...nowhere })).toBe(
    'Both of A’s spurs are cleared. Elsewhere there are two new, one stronger.',
  );
});

test('a spur that is hidden or outside the later span is never counted as cleared', () => {
  const text = compareSentence({ tracks: tracks({ hidden: 2, uncovered: 1 }, 'A'), sources: [], ...nowhere });
  expect(text).not.toMatch(/cleared|weaker|gone/);
  expect(text).toContain('outside the later span');
});

test('a line seen only later that noise would have hidden before is neither new nor counted among the earlier ones', () => {
  const later = tracks({ hidden: 1 }, 'A').map((track) => ({ ...track, beforeSpur: null, afterSpur: 0 }));
  const text = compareSentence({ tracks: [...tracks({ persists: 2 }, 'A'), ...later], sources: [], ...nowhere });
  expect(text).toBe('Both of the spurs are unchanged.');
});

test('a floor that rose under some of the hidden spurs explains only those', () => {
  const text = compareSentence({
    tracks: [...tracks({ weaker: 2, hidden: 3 }, 'A'), ...tracks({ hidden: 9, stronger: 1 }, 'B')],
    sources: ['A'],
    risenFloor: { ...risen, spurs: 2 },
    risenElsewhere: { ...risen, spurs: 9 },
  });
  expect(text).toBe(
    'Two of A’s five spurs weaker. Three cannot be judged: the floor rose 13 dB at 2.6–5.6 MHz under two, and noise would ' +
      'hide the others. Elsewhere there is one stronger. Elsewhere nine cannot be judged: the floor rose 13 dB at 2.6–5.6 MHz.',
  );
});
