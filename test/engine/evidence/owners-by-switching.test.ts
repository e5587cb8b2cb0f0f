import { describe, expect, test } from 'vitest';
import { combFates, type CombFate } from '../../../src-main/engine/evidence/comb-fate.ts';
import type { CombView } from '../../../src-main/engine/evidence/comb-view.ts';
import { explainAfterSwitching } from '../../../src-main/engine/evidence/explain-after-switching.ts';
import type { LevelFinding } from '../../../src-main/engine/evidence/level-finding.ts';
import { ownersBySwitching, type SwitchedCapture } from '../../../src-main/engine/evidence/owners-by-switching.ts';
import { DEFAULT_EVIDENCE_SETTINGS } from '../../../src-main/model/evidence-settings.ts';
import type { SourceStatus } from '../../../src-main/engine/evidence/source-status.ts';

const view = (
  fundamentalHz: number,
  owners: readonly string[],
  lines: readonly (readonly [number, number])[] = [],
): CombView => ({
  comb: {
    source: owners.length === 1 ? owners[0]! : null,
    fundamentalHz,
    fundamentalSigmaHz: 1,
    harmonicsSeen: lines.map(([harmonic]) => harmonic),
    harmonicsExpected: lines.map(([harmonic]) => harmonic),
    chance: 1e-9,
    couldAlsoBe: owners.length === 1 ? [] : owners,
  },
  owners,
  lines: new Map(lines),
});
const fate = (is: CombFate['is']): CombFate => ({
  is,
  ratio: is === 'continues' ? 1 : null,
  ratioSigma: 1e-6,
  there: 0,
  absent: 0,
  decided: 0,
  changeDb: null,
});
const capture = (
  off: readonly string[],
  fates: readonly CombFate['is'][],
  others: SourceStatus = 'on',
): SwitchedCapture => ({
  file: `${off.join('-')}-off.csv`,
  switchedOff: off,
  statusThere: (name) => (off.includes(name) ? 'off' : others),
  fates: fates.map(fate),
});
const owners = (combs: readonly CombView[], ...captures: SwitchedCapture[]) =>
  ownersBySwitching(combs, captures).map((entry) => (entry.isRefuted ? 'refuted' : entry.owners.join()));

describe('ownersBySwitching(combs, captures)', () => {
  const two = [view(301e3, ['A', 'B']), view(298e3, ['A', 'B'])];
  test.each([
    ['the one that went is A, the one that stayed is B', [capture(['A'], ['gone', 'continues'])], ['A', 'B']],
    ['the same where nothing was said of B', [capture(['A'], ['gone', 'continues'], 'unsaid')], ['A', 'B']],
    [
      'a source that may have stopped keeps its claim',
      [capture(['A'], ['gone', 'undecided'], 'unsure')],
      ['A,B', 'A,B'],
    ],
    ['one known leaves the other', [capture(['A'], ['gone', 'undecided'])], ['A', 'B']],
    ['nothing seen, nothing said', [capture(['A'], ['undecided', 'undecided'])], ['A,B', 'A,B']],
    ['both off together choose nothing', [capture(['A', 'B'], ['gone', 'gone'])], ['A,B', 'A,B']],
    [
      'two captures together',
      [capture(['A'], ['continues', 'gone']), capture(['B'], ['gone', 'continues'])],
      ['B', 'A'],
    ],
    [
      'both stay without both: neither is theirs',
      [capture(['A', 'B'], ['continues', 'continues'])],
      ['refuted', 'refuted'],
    ],
  ] as const)('%s', (_, captures, expected) => {
    expect(owners(two, ...captures)).toEqual(expected);
  });

  test('a comb with one owner that runs on keeps it when it goes: it may hang on the same supply', () => {
    expect(owners([view(301e3, ['A'])], capture(['B'], ['gone']))).toEqual(['A']);
  });

  test('the order of captures decides nothing', () => {
    const captures = [capture(['A'], ['gone', 'continues']), capture(['B'], ['continues', 'gone'])];
    expect(owners(two, ...captures)).toEqual(owners(two, ...[...captures].reverse()));
  });
});

describe('combFates(input)', () => {
  const finding = (outcome: LevelFinding['outcome']): LevelFinding => ({
    outcome,
    changeDb: 0,
    changeSigmaDb: 1,
    limitDb: null,
    atLeastDb: null,
    why: '',
  });
  const lines = [4, 5, 6, 7].map((harmonic, i) => [harmonic, i] as const);
  const fates = (
    here: readonly CombView[],
    there: readonly CombView[],
    outcomes: readonly LevelFinding['outcome'][],
    levelsThere: readonly number[] = [-80, -82, -84, -86],
  ) =>
    combFates({
      here,
      there,
      levelHereDb: (i) => -80 - 2 * (i % 4),
      levelThereDb: (j) => levelsThere[j] ?? null,
      findings: outcomes.map(finding),
      largestMove: here.map(() => 0.025),
      axis: 1e-6,
      settings: DEFAULT_EVIDENCE_SETTINGS,
    }).map(({ is, ratio }) => [is, ratio]);

  test('a comb of the same name has moved, however unlike its levels', () => {
    const moved = view(300e3 * 1.01, ['A'], lines);
    expect(
      fates([view(300e3, ['A'], lines)], [moved], Array(4).fill('absent') as 'absent'[], [-40, -90, -40, -90]),
    ).toEqual([['continues', 1.01]]);
  });

  test('gone only where enough of its lines are proven absent', () => {
    const here = [view(300e3, ['A'], lines)];
    expect(fates(here, [], ['absent', 'absent', 'absent', 'absent'])).toEqual([['gone', null]]);
    expect(fates(here, [], ['absent', 'absent', 'not-sensitive', 'not-sensitive'])).toEqual([['undecided', null]]);
    expect(fates(here, [], ['absent', 'absent', 'absent', 'same'])).toEqual([['undecided', null]]);
    expect(fates(here, [], ['same', 'same', 'stronger', 'not-covered'])).toEqual([['continues', 1]]);
  });

  test('a comb beyond the reach of sources leaves it open where it went', () => {
    const here = [view(300e3, [], lines)];
    const absent = Array(4).fill('absent') as 'absent'[];
    expect(fates(here, [view(300e3 * 1.04, [], lines)], absent)).toEqual([['undecided', null]]);
    expect(fates(here, [view(300e3 * 1.07, [], lines)], absent)).toEqual([['gone', null]]);
  });

  test('two combs alike in level and near in move are not told apart', () => {
    const here = [
      view(300e3, [], lines),
      view(
        301e3,
        [],
        lines.map(([h, i]) => [h, i + 4] as const),
      ),
    ];
    const absent = Array(8).fill('absent') as 'absent'[];
    expect(fates(here, [view(300.5e3, [], lines)], absent).map(([is]) => is)).toEqual(['undecided', 'undecided']);
  });
});

describe('explainAfterSwitching(explanation, combOf, after, line)', () => {
  const candidate = (source: string | null, harmonic: number) => ({
    source,
    harmonic,
    predictedHz: 5e6,
    predictedSigmaHz: 10,
    chance: 1e-9,
  });
  const combOf = ({ harmonic }: { harmonic: number }) => (harmonic >= 20 ? 1 : 0);
  const after = (first: readonly string[], second: readonly string[], refuted = false) => [
    {
      owners: first,
      excluded: [{ source: 'X', file: 'f', because: 'stayed' as const }],
      wentWith: [],
      isRefuted: refuted,
    },
    { owners: second, excluded: [], wentWith: [], isRefuted: false },
  ];
  const nothing = { notOf: new Set<number>(), wholeOf: -1 };
  const explain = (
    cause: 'source' | 'ambiguous' | 'shared',
    candidates: ReturnType<typeof candidate>[],
    ...rest: [ReturnType<typeof after>, { notOf: Set<number>; wholeOf: number }]
  ) => {
    const { cause: now, candidates: left } = explainAfterSwitching({ cause, candidates }, combOf, ...rest);
    return [now, left.map(({ source, harmonic }) => `${source ?? '?'}${harmonic}`).join()];
  };
  const both = [candidate('A', 10), candidate('B', 10)];
  test.each([
    ['one owner left', 'ambiguous', both, after(['B'], []), nothing, ['source', 'B10']],
    ['both left', 'ambiguous', both, after(['A', 'B'], []), nothing, ['ambiguous', 'A10,B10']],
    ['refuted', 'source', [candidate('A', 10)], after([], [], true), nothing, ['unknown-comb', '?10']],
    [
      'line not of its comb',
      'source',
      [candidate('A', 10)],
      after(['A'], []),
      { notOf: new Set([0]), wholeOf: -1 },
      ['unexplained', ''],
    ],
    [
      'line not of its comb, a lesser claim left',
      'source',
      [candidate('A', 10), candidate('C', 20)],
      after(['A'], ['C']),
      { notOf: new Set([0]), wholeOf: -1 },
      ['unexplained', 'C20'],
    ],
    [
      'shared, wholly of the second',
      'shared',
      [candidate('A', 10), candidate('C', 20)],
      after(['A'], ['C']),
      { notOf: new Set<number>(), wholeOf: 1 },
      ['source', 'C20,A10'],
    ],
    [
      'shared, nothing proven',
      'shared',
      [candidate('A', 10), candidate('C', 20)],
      after(['A'], ['C']),
      nothing,
      ['shared', 'A10,C20'],
    ],
  ] as const)('%s', (_, cause, candidates, owned, line, expected) => {
    expect(explain(cause, [...candidates], owned, { notOf: new Set(line.notOf), wholeOf: line.wholeOf })).toEqual(
      expected,
    );
  });
});
