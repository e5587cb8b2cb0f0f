import { expect, test } from 'vitest';
import type { Verdict } from '../../src-main/model/verdict.ts';
import { bandOf, draftOf, remainsText } from '../../src-renderer/state/band-draft.ts';
import { parseRanges, rangesText, splitList } from '../../src-renderer/state/requirement-text.ts';
import {
  conditionWords,
  demandWords,
  scaleOf,
  scaleReach,
  verdictFigures,
  verdictGroups,
} from '../../src-renderer/state/verdict-rows.ts';

function verdict(more: Partial<Verdict> = {}): Verdict {
  return {
    requirementId: 1,
    code: 'RX-1',
    band: 'low',
    limit: null,
    isLimitConfirmed: true,
    mode: 'sounding',
    temperature: { lowC: -45, highC: -30 },
    point: 'port',
    ruling: 'holds',
    reason: null,
    captureIds: [1],
    unit: 'dBm',
    found: -90,
    foundLow: -93,
    foundHigh: -87,
    allowed: -85,
    margin: 2,
    decidedBy: null,
    dispositionIds: [],
    why: '',
    ...more,
  };
}

test('verdicts stand under their requirement with their place in the judgement', () => {
  const groups = verdictGroups([verdict(), verdict({ requirementId: 2, code: 'RX-2' }), verdict()], []);
  expect(groups.map(({ code, verdicts }) => [code, verdicts.map(({ index }) => index)])).toEqual([
    ['RX-1', [0, 2]],
    ['RX-2', [1]],
  ]);
});

test('what is demanded is said in words', () => {
  expect(demandWords({ demand: { kind: 'strongest-line' }, limit: 'own' })).toBe('No line above “own”');
  expect(demandWords({ demand: { kind: 'clean-channels', atLeast: 0.65, as: 'share' }, limit: null })).toBe(
    'At least 65 in 100 channels clean, each against what each band allows',
  );
  expect(demandWords({ demand: { kind: 'clean-channels', atLeast: 40, as: 'count' }, limit: null })).toContain(
    '40 channels',
  );
});

test('figures carry their doubt; what was not found is the strongest that could have been missed', () => {
  expect(verdictFigures(verdict())).toEqual({ found: '−90.0', doubt: '± 3.0', allowed: '−85.0', margin: '+2.0' });
  expect(verdictFigures(verdict({ found: null, foundLow: null, foundHigh: -101 }))).toMatchObject({
    found: '≤ −101.0',
    doubt: '',
  });
  expect(
    verdictFigures(verdict({ found: null, foundLow: null, foundHigh: null, allowed: null, margin: null })),
  ).toEqual({
    found: 'nothing',
    doubt: '',
    allowed: '–',
    margin: '',
  });
  expect(
    verdictFigures(verdict({ unit: 'channels', found: 73, foundLow: 49, foundHigh: 76, allowed: 82, margin: -33 })),
  ).toEqual({
    found: '73',
    doubt: '49 … 76',
    allowed: '82',
    margin: '−33',
  });
});

test('right of the double rule is to spare, for levels as for channels', () => {
  expect(scaleOf(verdict(), 10)).toEqual({ low: 0.2, best: 0.5, high: 0.8 });
  const channels = verdict({ unit: 'channels', found: 73, foundLow: 49, foundHigh: 76, allowed: 82 });
  expect(scaleOf(channels, 100)).toEqual({ low: -0.33, best: -0.09, high: -0.06 });
  expect(scaleOf(verdict({ found: null, foundLow: null }), 10)).toEqual({ low: 0.2, best: null, high: 1 });
  expect(scaleOf(verdict({ allowed: null }), 10)).toBeNull();
  expect(scaleReach([verdict({ margin: -40 })], false)).toBeCloseTo(52);
  expect(scaleReach([], true)).toBe(13);
});

test('conditions are listed as far as they are named', () => {
  expect(conditionWords(verdict())).toBe('sounding, −45 to −30 °C, port');
  expect(conditionWords(verdict({ mode: null, temperature: null }))).toBe('port');
});

test('temperature ranges are read as people write them, and written back', () => {
  expect(parseRanges('15…30, −45 to −35')).toEqual([
    { lowC: 15, highC: 30 },
    { lowC: -45, highC: -35 },
  ]);
  expect(parseRanges('-45...-35')).toEqual([{ lowC: -45, highC: -35 }]);
  expect(parseRanges('')).toEqual([]);
  expect(parseRanges('30…15')).toBeNull();
  expect(parseRanges('warm')).toBeNull();
  const ranges = [{ lowC: -45, highC: -35.5 }];
  expect(parseRanges(rangesText(ranges))).toEqual(ranges);
  expect(splitList(' a, ,b ')).toEqual(['a', 'b']);
});

test('a band is typed in MHz and kHz and comes back in Hz; what is missing gives none', () => {
  const band = bandOf({
    ...draftOf(null),
    name: 'low',
    lowHz: '14.1',
    highHz: '14,35',
    channelHz: '2.7',
    allowedOverFloorDb: '−3',
  })!;
  expect(band).toMatchObject({ lowHz: 14.1e6, highHz: 14.35e6, channelHz: 2700, allowedOverFloorDb: -3, weight: 1 });
  expect(bandOf(draftOf(band))).toEqual(band);
  expect(bandOf(draftOf(null))).toBeNull();
  expect(bandOf({ ...draftOf(band), highHz: 'x' })).toBeNull();
  // 20 kHz for 2000 s: 38.0 dB
  expect(remainsText({ ...band, channelHz: 20e3, integrationS: 2000, allowedOverFloorDb: 0 })).toContain(
    '38.0 dB below',
  );
  expect(remainsText(band)).toBe('');
});
