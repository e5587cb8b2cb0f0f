import { expect, test } from 'vitest';
import { followStates } from '../../../src-main/engine/follow-states.ts';
import { DEFAULT_COMPARE_SETTINGS } from '../../../src-main/model/compare-settings.ts';
import type { BuildState, Fix } from '../../../src-main/model/build-state.ts';
import { DEFAULT_VERDICT_SETTINGS } from '../../../src-main/model/verdict-settings.ts';
import type { JudgedCapture } from '../../../src-main/engine/judge-build.ts';
import type { StateGrid } from '../../../src-main/model/state-track.ts';
import { handSource } from '../tracking/hand-triage.ts';
import { handBand } from './bands.ts';
import { handFix, handState, shot, type HandShot } from './build-scene.ts';

const U1 = handSource('U1', 500e3);

function followed(
  captures: readonly JudgedCapture[],
  states: readonly BuildState[],
  fixes: readonly Fix[] = [],
): StateGrid {
  return followStates({
    captures,
    states,
    fixes,
    sources: [U1],
    bands: [handBand()],
    compareSettings: DEFAULT_COMPARE_SETTINGS,
    settings: DEFAULT_VERDICT_SETTINGS,
  });
}

const tooth = (n: number, db: number, fundamentalHz = 500e3) => ({
  hz: n * fundamentalHz,
  db,
  source: 'U1',
  harmonic: n,
});
/** Teeth that keep the family recognisable, and the one that is looked at. */
const comb = (db: number | null, more: Partial<HandShot> = {}, fundamentalHz = 500e3): HandShot => ({
  lines: [
    ...[4, 6, 7, 8, 9].map((n) => tooth(n, -60, fundamentalHz)),
    ...(db === null ? [] : [tooth(5, db, fundamentalHz)]),
  ],
  ...more,
});
const line = (count: number) => Array.from({ length: count }, (_, i) => handState(i + 1, i === 0 ? null : i));
const rowOf = (grid: StateGrid, harmonic: number) => grid.tracks.find((track) => track.harmonic === harmonic)!;
const statuses = (grid: StateGrid, harmonic: number) => rowOf(grid, harmonic).cells.map((cell) => cell?.status ?? null);

test('a line is followed through cleared, cleared and back, with its limit while it is not seen', () => {
  const levels = [-60, -60, null, null, -60];
  const grid = followed(
    levels.map((db, i) => shot(i + 1, { ...comb(db), stateId: i + 1 })),
    line(5),
  );
  expect(statuses(grid, 5)).toEqual([null, 'persists', 'cleared', 'cleared', 'back']);
  const cells = rowOf(grid, 5).cells;
  expect(cells[2]!.upperLimitDb).toBeLessThan(-90);
  expect(cells[2]!.atLeastDb).toBeGreaterThan(25);
  // not seen in the state before: held against the last that shows it
  expect(cells[3]).toMatchObject({ againstStateId: 2, levelDb: null });
  expect(cells[4]).toMatchObject({ status: 'back', levelDb: -60 });
  expect(grid.tracks).toHaveLength(6);
});

test('a line that a raised floor hid is found again as the same line, not as a new one', () => {
  const grid = followed(
    [
      shot(1, { ...comb(-85), stateId: 1 }),
      shot(2, { ...comb(null, { floorDb: -70 }), stateId: 2 }),
      shot(3, { ...comb(-85), stateId: 3 }),
    ],
    line(3),
  );
  expect(statuses(grid, 5)).toEqual([null, 'hidden', 'persists']);
  expect(rowOf(grid, 5).cells[2]!.againstStateId).toBe(1);
});

test('a source that drifts keeps its rows: identity is source and harmonic before it is frequency', () => {
  const grid = followed(
    [1, 1.004, 1.009].map((ratio, i) => shot(i + 1, { ...comb(-60, {}, 500e3 * ratio), stateId: i + 1 })),
    line(3),
  );
  expect(grid.tracks).toHaveLength(6);
  expect(rowOf(grid, 5).cells.map((cell) => Math.round(cell!.frequencyHz!))).toEqual([2.5e6, 2.51e6, 2.5225e6]);
});

test('branches are followed apart and share rows', () => {
  const states = [handState(1, null), handState(2, 1), handState(3, 1), handState(4, 3)];
  const grid = followed(
    [
      shot(1, { ...comb(-60), stateId: 1 }),
      shot(2, { ...comb(null), stateId: 2 }),
      shot(3, { ...comb(-70), stateId: 3 }),
      shot(4, { ...comb(-70), stateId: 4 }),
    ],
    states,
  );
  expect(statuses(grid, 5)).toEqual([null, 'cleared', 'weaker', 'persists']);
  expect(grid.columns.map(({ againstStateId }) => againstStateId)).toEqual([null, 1, 1, 3]);
  expect(rowOf(grid, 5).cells[2]!.changeDb).toBeCloseTo(-10, 6);
});

test('a line new on one branch says nothing of the other', () => {
  const states = [handState(1, null), handState(2, 1), handState(3, 1)];
  const grid = followed(
    [
      shot(1, { ...comb(null), stateId: 1 }),
      shot(2, { ...comb(-60), stateId: 2 }),
      shot(3, { ...comb(null), stateId: 3 }),
    ],
    states,
  );
  expect(statuses(grid, 5)).toEqual([null, 'new', null]);
  expect(rowOf(grid, 5).cells[2]).toBeNull();
});

test('a state without a capture is bridged, and stays in plain sight as not measured', () => {
  const grid = followed([shot(1, { ...comb(-60), stateId: 1 }), shot(3, { ...comb(-70), stateId: 3 })], line(3));
  expect(grid.columns.map(({ captureIds }) => captureIds)).toEqual([[1], [], [3]]);
  expect(grid.columns[2]!.againstStateId).toBe(1);
  expect(statuses(grid, 5)).toEqual([null, null, 'weaker']);
});

test('only captures that are alike are followed; the others are named with the reason', () => {
  const grid = followed(
    [
      shot(1, { ...comb(-60), stateId: 1, condition: { mode: 'sounding', temperatureC: 22 } }),
      shot(2, { ...comb(-60), stateId: 2, condition: { mode: 'sounding', temperatureC: 24 } }),
      shot(3, { ...comb(-20), stateId: 2, condition: { mode: 'idle', temperatureC: 22 } }),
      shot(4, { ...comb(-20), stateId: 2, condition: { mode: 'sounding', temperatureC: -40 } }),
      shot(5, { ...comb(-20), stateId: 2, rbwHz: 1e3, condition: { mode: 'sounding', temperatureC: 22 } }),
      shot(6, { ...comb(-20), stateId: 2, condition: { mode: 'sounding', temperatureC: 22, role: 'off' } }),
      shot(7, { ...comb(-20), stateId: 2, condition: { mode: 'sounding', temperatureC: 22, sourcesOff: ['U1'] } }),
      shot(8, {
        ...comb(-20),
        stateId: 2,
        settings: { detector: 'positive-peak' },
        condition: { mode: 'sounding', temperatureC: 22 },
      }),
    ],
    line(2),
  );
  expect(grid).toMatchObject({ mode: 'sounding', temperature: { lowC: 22, highC: 24 } });
  expect(grid.columns[1]!.captureIds).toEqual([2]);
  expect(grid.columns[1]!.leftOut.map(({ captureId, why }) => [captureId, why.split(' (')[0]])).toEqual([
    [3, 'another mode'],
    [4, 'another temperature'],
    [5, 'another RBW'],
    [6, 'it does not show the item at work'],
    [7, 'other sources switched off'],
    [8, 'another detector'],
  ]);
});

test('each step is said with the mean change and its doubt, what was cleared by how much at least, and what got worse', () => {
  const grid = followed(
    [
      shot(1, { ...comb(-60), stateId: 1 }),
      shot(2, { lines: [...[4, 6, 7, 8, 9].map((n) => tooth(n, -72)), { hz: 9.123e6, db: -60 }], stateId: 2 }),
    ],
    line(2),
    [handFix(1, 1, 2, { sources: ['U1'] })],
  );
  const [, { sentence }] = grid.columns as [unknown, { sentence: string }];
  // five lines fell by 12 dB; the doubt is that of two set-ups of 1 dB each, common to all lines: 1.4 dB
  expect(sentence).toContain('U1, 6 lines before: −12.0 ± 1.4 dB over 5 seen on both sides; 1 cleared, by at least');
  expect(sentence).toContain('Elsewhere: 1 new.');
});

test('an undone fix counts among what the step was meant for', () => {
  const undone = handFix(1, 1, 2, { sources: ['U1'], undoneAt: '2026-03-03T09:00:00Z' });
  const grid = followed(
    [-60, null, -60].map((db, i) => shot(i + 1, { ...comb(db), stateId: i + 1 })),
    line(3),
    [undone],
  );
  expect(statuses(grid, 5)).toEqual([null, 'cleared', 'back']);
  expect(grid.columns[2]!.sentence).toMatch(/^U1, 5 lines before/);
});

test('several captures of a state count as its repeats; one state alone gives its lines', () => {
  const repeated = followed(
    [
      shot(1, { ...comb(-60), stateId: 1 }),
      shot(2, { ...comb(-60), stateId: 1 }),
      shot(3, { ...comb(-60), stateId: 2 }),
    ],
    line(2),
  );
  expect(repeated.columns[0]!.captureIds).toEqual([1, 2]);
  expect(repeated.tracks).toHaveLength(6);
  const alone = followed([shot(1, { ...comb(-60), stateId: 1 })], line(1));
  expect(alone.tracks).toHaveLength(6);
  expect(alone.tracks[0]!.cells[0]).toMatchObject({ status: null, levelDb: -60 });
  expect(followed([], line(1))).toMatchObject({ tracks: [], columns: [{ captureIds: [] }] });
});

test('every line of a state stands in exactly one row, whatever the chain', () => {
  const levels = [
    [-60, null, -70, -60],
    [null, -80, null, -80],
    [-95, -60, -95, null],
  ];
  const grid = followed(
    [0, 1, 2, 3].map((i) =>
      shot(i + 1, {
        lines: [
          ...[4, 6, 7, 8].map((n) => tooth(n, -60)),
          ...levels.flatMap((row, k) => (row[i] === null ? [] : [{ hz: 2.3e6 + 0.9e6 * k, db: row[i]! }])),
        ],
        stateId: i + 1,
      }),
    ),
    line(4),
  );
  [0, 1, 2, 3].forEach((column) => {
    const seen = grid.tracks.flatMap(({ cells }) =>
      cells[column]?.levelDb == null ? [] : [cells[column].frequencyHz],
    );
    const expected = 4 + levels.filter((row) => row[column] !== null).length;
    expect(new Set(seen).size, `column ${column}`).toBe(expected);
    expect(seen.length).toBe(expected);
  });
});

test('a line stands in the row of the source that it was decided to be', () => {
  const levels = { ...comb(-60), lines: [...comb(-60).lines, { hz: 3.3e6, db: -70 }] };
  const decisions = [1, 2].map((captureId) => ({
    id: captureId,
    captureId,
    frequencyHz: 3.3e6,
    kind: 'reassign' as const,
    source: 'U2',
    harmonic: 3,
    note: '',
    by: 'A. Hart',
    at: '2026-03-03T09:00:00Z',
  }));
  const grid = (decided: typeof decisions) =>
    followStates({
      captures: [1, 2].map((id) => ({
        ...shot(id, { ...levels, stateId: id }),
        decisions: decided.filter(({ captureId }) => captureId === id),
      })),
      states: line(2),
      fixes: [],
      sources: [U1, handSource('U2', 1.1e6)],
      bands: [handBand()],
      compareSettings: DEFAULT_COMPARE_SETTINGS,
      settings: DEFAULT_VERDICT_SETTINGS,
    });
  const row = (one: StateGrid) => one.tracks.find(({ frequencyHz }) => frequencyHz === 3.3e6)!;
  expect(row(grid([]))).toMatchObject({ source: null, cause: 'unexplained' });
  expect(row(grid(decisions))).toMatchObject({ source: 'U2', harmonic: 3, cause: 'source' });
  // one state decided: the row has its name from there
  expect(row(grid(decisions.slice(1)))).toMatchObject({ source: 'U2', harmonic: 3 });
});
