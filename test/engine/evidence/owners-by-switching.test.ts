import { describe, expect, test } from 'vitest';
import { combFates, type CombFate } from '../../../src-main/engine/evidence/comb-fate.ts';
import type { CombView } from '../../../src-main/engine/evidence/comb-view.ts';
import { explainAfterSwitching } from '../../../src-main/engine/evidence/explain-after-switching.ts';
import type { LevelFinding } from '../../../src-main/engine/evidence/level-finding.ts';
import { ownersBySwitching, type SwitchedCapture } from '../../../src-main/engine/evidence/owners-by-switching.ts';
import type { Cause } from '../../../src-main/model/attribution.ts';
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

describe('explainAfterSwitching(explanation, combOf, isOwned, after, line)', () => {
  const candidate = (source: string | null, harmonic: number) => ({
    source,
    harmonic,
    predictedHz: 5e6,
    predictedSigmaHz: 10,
    chance: 1e-9,
  });
  /** Harmonics from 20 on are of the second comb, from 40 on of none. */
  const combOf = ({ harmonic }: { harmonic: number }) => (harmonic >= 40 ? -1 : harmonic >= 20 ? 1 : 0);
  const A = candidate('A', 10);
  const B = candidate('B', 10);
  const C = candidate('C', 20);
  const H = candidate('H', 40);
  interface Case {
    readonly cause: Cause;
    readonly of: readonly ReturnType<typeof candidate>[];
    /** Owners left of the first comb; `refuted`: none of those it had. */
    readonly first?: readonly string[] | 'refuted';
    /** The first comb had one settled owner by its own capture. */
    readonly owned?: boolean;
    readonly went?: boolean;
    readonly notOf?: readonly number[];
    readonly notBy?: readonly string[];
    readonly wholeOf?: number;
  }
  const explain = ({
    cause,
    of,
    first = ['A'],
    owned = true,
    went = false,
    notOf = [],
    notBy = [],
    wholeOf = -1,
  }: Case) => {
    const wentWith = went ? [{ file: 'f', sources: ['A'] }] : [];
    const after = [
      { owners: first === 'refuted' ? [] : first, excluded: [], wentWith, isRefuted: first === 'refuted' },
      { owners: ['C'], excluded: [], wentWith: [], isRefuted: false },
    ];
    const line = { notOf: new Set(notOf), notBy: new Set(notBy), wholeOf };
    const found = explainAfterSwitching({ cause, candidates: of }, combOf, () => owned, after, line);
    return [found.cause, found.candidates.map(({ source, harmonic }) => `${source ?? '?'}${harmonic}`).join()];
  };
  test.each<readonly [string, Case, string, string]>([
    [
      'two entries, one left',
      { cause: 'ambiguous', of: [A, B], first: ['B'], owned: false, went: true },
      'source',
      'B10',
    ],
    [
      'two entries, both left',
      { cause: 'ambiguous', of: [A, B], first: ['A', 'B'], owned: false },
      'ambiguous',
      'A10,B10',
    ],
    [
      'one of several combs of an entry, nothing settled',
      { cause: 'ambiguous', of: [A], owned: false },
      'ambiguous',
      'A10',
    ],
    [
      'one of several combs of an entry, the one that went',
      { cause: 'ambiguous', of: [A], owned: false, went: true },
      'source',
      'A10',
    ],
    ['a comb refuted', { cause: 'source', of: [A], first: 'refuted' }, 'unknown-comb', '?10'],
    ['a line not of its comb', { cause: 'source', of: [A], notOf: [0] }, 'unexplained', ''],
    ['a line not by its source', { cause: 'source', of: [A], notBy: ['A'] }, 'unexplained', ''],
    ['a line not of its comb, a lesser claim left', { cause: 'source', of: [A, C], notOf: [0] }, 'unexplained', 'C20'],
    ['shared, wholly of the second', { cause: 'shared', of: [A, C], wholeOf: 1 }, 'source', 'C20,A10'],
    ['shared, nothing proven', { cause: 'shared', of: [A, C] }, 'shared', 'A10,C20'],
    ['shared, stays without the first', { cause: 'shared', of: [A, C], notOf: [0] }, 'source', 'C20'],
    [
      'between combs, the first went for its other lines only',
      { cause: 'ambiguous', of: [A, C], went: true },
      'ambiguous',
      'A10,C20',
    ],
    [
      'between combs, the line is wholly of the first',
      { cause: 'ambiguous', of: [A, C], went: true, wholeOf: 0 },
      'source',
      'A10,C20',
    ],
    ['between combs, stays with the first off', { cause: 'ambiguous', of: [A, C], notBy: ['A'] }, 'source', 'C20'],
    [
      'between a comb and a source without one, which is off',
      { cause: 'ambiguous', of: [A, H], notBy: ['H'] },
      'source',
      'A10',
    ],
    [
      'between a source without a comb and one nobody knows',
      { cause: 'ambiguous', of: [H, candidate(null, 10)], notBy: ['H'] },
      'unknown-comb',
      '?10',
    ],
    ['between both, neither possible', { cause: 'ambiguous', of: [A, H], notBy: ['A', 'H'] }, 'unexplained', ''],
    ['a beat that stays without one of its sources', { cause: 'beat', of: [A, C], notBy: ['C'] }, 'unexplained', ''],
    ['a beat of which nothing is known', { cause: 'beat', of: [A, C] }, 'beat', 'A10,C20'],
    ['no candidates at all', { cause: 'unexplained', of: [] }, 'unexplained', ''],
  ])('%s', (_, given, cause, left) => {
    expect(explain(given)).toEqual([cause, left]);
  });
});
