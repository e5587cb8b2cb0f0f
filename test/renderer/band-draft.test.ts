import { expect, test } from 'vitest';
import { bandOf, bandProblems, draftOf, type BandDraft } from '../../src-renderer/state/band-draft.ts';
import { readBandTable, writeBandTable } from '../../src-main/readers/tables/band-table.ts';

const draft = (texts: Partial<BandDraft>): BandDraft => ({
  ...draftOf(null),
  name: 'low',
  lowHz: '1',
  highHz: '2',
  ...texts,
});
const OTHERS = [{ name: 'middle', lowHz: 4e6, highHz: 9e6 }];
const said = (texts: Partial<BandDraft>) => bandProblems(draft(texts), OTHERS);

test('a sound band says nothing', () => {
  expect(said({})).toEqual({});
  expect(said({ lowHz: '2', highHz: '4', channelHz: '20' })).toEqual({});
});

test.each([
  ['an empty name', { name: ' ' }, 'name'],
  ['a name that is taken', { name: 'middle' }, 'name'],
  ['reversed ends', { lowHz: '3', highHz: '2' }, 'highHz'],
  ['equal ends', { lowHz: '2', highHz: '2,0' }, 'highHz'],
  ['no end', { highHz: '' }, 'highHz'],
  ['an overlap', { lowHz: '3', highHz: '4.1' }, 'highHz'],
  ['a channel wider than the band', { channelHz: '1001' }, 'channelHz'],
  ['a channel of nothing', { channelHz: '0' }, 'channelHz'],
  ['a level without a unit', { allowedLevel: '-90' }, 'allowedUnit'],
  ['words for a number', { weight: 'much' }, 'weight'],
  ['half a zone', { zone: '1.5' }, 'zone'],
  ['a negative rejection', { imageRejectionDb: '-3' }, 'imageRejectionDb'],
] as const)('%s is said at its field', (_, texts, field) => {
  expect(Object.keys(said(texts))).toEqual([field]);
});

test('what is said here of a readable band, its table refuses too', () => {
  const cases: Partial<BandDraft>[] = [
    { name: 'middle' },
    { lowHz: '3', highHz: '2' },
    { lowHz: '3', highHz: '4.1' },
    { channelHz: '1001' },
    { allowedLevel: '-90' },
    { sampleRateHz: '-1' },
    {},
    { allowedOverFloorDb: '6', weight: '2' },
  ];
  for (const texts of cases) {
    const band = bandOf(draft(texts))!;
    const table = writeBandTable([{ ...band, ...OTHERS[0]! }, band]);
    const isRefused = (() => {
      try {
        readBandTable(table, 'bands.csv');
        return false;
      } catch {
        return true;
      }
    })();
    expect([texts, isRefused]).toEqual([texts, Object.keys(said(texts)).length > 0]);
  }
});
