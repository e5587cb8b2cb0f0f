import { expect, test } from 'vitest';
import type { Track } from '../../src-main/model/track.ts';
import { compareDocument, type ComparedCaptures } from '../../src-main/report/compare-document.ts';
import { compareTable } from '../../src-main/report/compare-table.ts';
import { COMPARE_SHAPE, expectShape } from './document-shape.ts';
import { spurAt, TRIAGE } from './sample-triage.ts';

const track: Track = {
  status: 'cleared',
  beforeSpur: 0,
  afterSpur: null,
  changeDb: null,
  changeSigmaDb: null,
  atLeastDb: 21.4,
  shiftHz: null,
  upperLimitDb: -80,
  exercised: 'shown',
  source: 'DC-A',
  harmonic: 3,
  why: 'At least 21.4 dB down.',
};
const side = { files: ['a.csv'], unit: { name: 'dBm', scale: 'decibel', perHz: false } as const, offsetDb: 0 };
const compared: ComparedCaptures = {
  before: side,
  after: { ...side, files: ['b.csv'] },
  comparison: {
    tracks: [track],
    sources: [{ source: 'DC-A', beforeHz: 333_430, afterHz: null, tracks: { cleared: 1 } }],
    warnings: ['RBW differs.'],
    unit: 'dBm',
    levelsComparable: true,
    repeatabilityDb: 1,
    repeatabilityFrom: 'the stated default',
    beforeSpurs: [{ ...spurAt(1_000_300), fileIndex: 0, seenIn: 1 }],
    afterSpurs: [],
    beforeExplanations: TRIAGE.explanations,
    afterExplanations: [],
  },
  sentence: 'DC-A’s one spur is cleared.',
  warnings: [],
};

test('the document has every field of the command page, each of its kind', () => {
  const document = compareDocument(compared, []);
  expectShape(document, COMPARE_SHAPE);
  expect(document).toMatchObject({
    warnings: ['RBW differs.'],
    tracks: [
      { status: 'cleared', after: null, at_least_db: 21.4, upper_limit: -80, before: { frequency_hz: 1_000_300 } },
    ],
    sources: [{ source: 'DC-A', after_hz: null, tracks: { cleared: 1 } }],
  });
});

test('an upper limit in a linear unit is that unit and not decibels', () => {
  const volts = { name: 'V', scale: 'amplitude', perHz: false } as const;
  const document = compareDocument({ ...compared, after: { ...compared.after, unit: volts } }, []);
  const [only] = (document as unknown as { tracks: { upper_limit: number }[] }).tracks;
  expect(only!.upper_limit).toBeCloseTo(1e-4, 15);
});

test('a side stated in another unit gets its levels back in that unit', () => {
  // dBµV in 50 Ω is dBm + 106.99 (check: 0 dBm is 106.99 dBµV, a table value of the trade).
  const microvolts = { ...side, unit: { name: 'dBµV', scale: 'decibel', perHz: false } as const, offsetDb: 106.99 };
  const document = compareDocument({ ...compared, before: microvolts }, []);
  expect(document).toMatchObject({
    before: { unit: 'dBµV' },
    tracks: [{ before: { over_floor_db: 30 } }],
  });
  const [only] = (document as unknown as { tracks: { before: { level: number } }[] }).tracks;
  expect(only!.before.level).toBeCloseTo(46.99, 9);
});

test('with a side missing nothing is compared and the document says why', () => {
  const problem = { file: 'b.csv', place: 'whole file', found: 'no such file', expected: 'a file', wayOut: 'Check.' };
  const document = compareDocument(null, [problem]);
  expectShape(document, COMPARE_SHAPE);
  expect(document).toMatchObject({ tracks: [], sources: [], problems: [{ file: 'b.csv' }] });
});

test('the table names status, levels with their unit, the proven drop and the source', () => {
  const text = compareTable(compared);
  expect(text).toContain('DC-A’s one spur is cleared.');
  expect(text).toMatch(/before \[dBm\]/);
  expect(text).toMatch(/cleared +1000300 +- +-60\.00 +- +- +- +-80\.00 +21\.4 +DC-A +3 +shown/);
});
