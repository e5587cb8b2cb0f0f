import { expect, test } from 'vitest';
import { comparedCaptures } from '../../../src-main/api/steps/compare-captures.ts';
import type { LineExplanation } from '../../../src-main/model/attribution.ts';
import type { LevelUnit } from '../../../src-main/model/level-unit.ts';
import type { Comparison, Track } from '../../../src-main/model/track.ts';
import type { TriagedTrace } from '../../../src-main/model/triaged-trace.ts';
import { SILENT_CONDITION, spurAt, traceOf, TRIAGE } from '../../report/sample-triage.ts';

const DBM: LevelUnit = { name: 'dBm', scale: 'decibel', perHz: false };

function side(file: string, floorDb: number, more: Partial<TriagedTrace> = {}): TriagedTrace {
  const trace = more.trace ?? traceOf({ unit: DBM });
  const floor = { ...TRIAGE.floor, meanDb: new Float64Array(6).fill(floorDb) };
  return { file, trace, levelDb: trace.level, condition: null, triage: { ...TRIAGE, floor }, ...more };
}

function explained(cause: LineExplanation['cause']): LineExplanation {
  return { cause, candidates: [], why: '' };
}

/** One track a spur, all seen before only. */
function comparisonOf(
  tracks: readonly Pick<Track, 'status' | 'source'>[],
  causes: readonly LineExplanation['cause'][],
): Comparison {
  return {
    tracks: tracks.map((track, i) => ({
      beforeSpur: i,
      afterSpur: null,
      changeDb: null,
      changeSigmaDb: null,
      atLeastDb: null,
      shiftHz: null,
      upperLimitDb: null,
      exercised: 'unknown',
      harmonic: null,
      why: '',
      ...track,
    })),
    sources: [],
    warnings: [],
    unit: 'dBm',
    levelsComparable: true,
    repeatabilityDb: 1,
    repeatabilityFrom: '',
    beforeSpurs: tracks.map((_, i) => ({ ...spurAt(1_000_000 + 100 * i), fileIndex: 0, seenIn: 1 })),
    afterSpurs: [],
    beforeExplanations: causes.map(explained),
    afterExplanations: [],
  };
}

const hidden = comparisonOf(
  [
    { status: 'hidden', source: 'DC-A' },
    { status: 'weaker', source: 'DC-A' },
    { status: 'hidden', source: 'DC-B' },
  ],
  ['source', 'source', 'source'],
);

test('a floor that rose is told with its rise and place, for the meant source and for the others', () => {
  const { sentence } = comparedCaptures({ before: [side('a', -90)], after: [side('b', -77)] }, hidden, ['DC-A']);
  expect(sentence).toBe(
    'One of DC-A’s two spurs weaker. One cannot be judged: the floor rose 13 dB at 1 MHz. ' +
      'Elsewhere one cannot be judged: the floor rose 13 dB at 1 MHz.',
  );
});

test('of several later captures the one with the highest floor counts', () => {
  const sides = { before: [side('a', -90)], after: [side('b', -77), side('c', -85)] };
  expect(comparedCaptures(sides, hidden, ['DC-A']).sentence).toContain('rose 13 dB');
});

test.each([
  ['the floor moved by less than 3 dB', side('b', -88)],
  ['the sides differ in RBW', side('b', -77, { condition: { ...SILENT_CONDITION, rbwHz: 9000 } })],
])('where %s the floor is not blamed', (_, after) => {
  const { sentence } = comparedCaptures({ before: [side('a', -90)], after: [after] }, hidden, ['DC-A']);
  expect(sentence).toBe(
    'One of DC-A’s two spurs weaker. One cannot be judged: the noise of the later capture would hide it.',
  );
});

test('each side is stated in its own unit: 0 dBm is 106.99 dBµV in 50 Ω', () => {
  const microvolts = traceOf({ unit: { name: 'dBµV', scale: 'decibel', perHz: false } });
  const after = side('b', -90, { trace: microvolts });
  const compared = comparedCaptures({ before: [side('a', -90)], after: [after] }, hidden, []);
  expect(compared.before).toMatchObject({ unit: { name: 'dBm' }, offsetDb: 0 });
  expect(compared.after.unit.name).toBe('dBµV');
  // 10·log10(1e-3 W · 50 Ω) + 120 dB, arithmetic.
  expect(compared.after.offsetDb).toBeCloseTo(106.9897, 4);
});

test('levels that had to become powers are stated as that power and not as the density they were', () => {
  const density = traceOf({ unit: { name: 'dBm/Hz', scale: 'decibel', perHz: true } });
  const compared = comparedCaptures(
    { before: [side('a', -90)], after: [side('b', -90, { trace: density })] },
    hidden,
    [],
  );
  expect(compared.after).toMatchObject({ unit: { name: 'dBm', perHz: false }, offsetDb: 0 });
});

test('a line of the analyser itself is left out of the sentence, not of the list', () => {
  const both = comparisonOf(
    [
      { status: 'weaker', source: null },
      { status: 'persists', source: null },
    ],
    ['instrument', 'unexplained'],
  );
  const compared = comparedCaptures({ before: [side('a', -90)], after: [side('b', -90)] }, both, []);
  expect(compared.sentence).toBe('The one spur is unchanged.');
  expect(compared.comparison.tracks).toHaveLength(2);
});
