import { expect, test } from 'vitest';
import {
  cellChange,
  cellFigure,
  cellWords,
  filteredTracks,
  gridGroups,
  gridRows,
  levelRange,
  threadThickness,
} from '../../src-renderer/state/grid-rows.ts';
import type { StateGrid, StateTrack, TrackCell } from '../../src-main/model/state-track.ts';

function cell(more: Partial<TrackCell> = {}): TrackCell {
  return {
    status: 'persists',
    againstStateId: 1,
    levelDb: -80,
    levelSigmaDb: 0.3,
    frequencyHz: 2e6,
    upperLimitDb: null,
    changeDb: null,
    changeSigmaDb: null,
    atLeastDb: null,
    exercised: 'shown',
    overAllowedDb: null,
    why: '',
    ...more,
  };
}
function track(number: number, more: Partial<StateTrack> = {}): StateTrack {
  return {
    number,
    source: 'U1',
    harmonic: number,
    cause: 'source',
    candidates: [],
    frequencyHz: number * 1e6,
    band: 'low',
    cells: [cell({ status: null }), cell()],
    ...more,
  };
}
const grid = (tracks: readonly StateTrack[]): StateGrid => ({
  point: 'port',
  mode: null,
  temperature: null,
  unit: 'dBm',
  columns: [],
  tracks,
  warnings: [],
});
const ALL = { source: null, band: null, status: null };

test('rows stand by source and frequency under a head, sources in the order of their letters, nobody’s last', () => {
  const rows = gridRows(
    grid([
      track(3),
      track(1, { source: null, harmonic: null, cause: 'unexplained' }),
      track(2, { source: 'U0' }),
      track(4),
    ]),
    ALL,
    'source',
    (name) => (name === 'U1' ? 0 : 1),
  );
  expect(rows.map((row) => (row.kind === 'group' ? `${row.name} ${row.count}` : row.track.number))).toEqual([
    'U1 2',
    3,
    4,
    'U0 1',
    2,
    'nobody 1',
    1,
  ]);
});

test('the worst stands first: most over what is allowed, then the strongest, lines that are not seen last', () => {
  const rows = gridRows(
    grid([
      track(1, { cells: [cell({ levelDb: -40 })] }),
      track(2, { cells: [cell({ levelDb: -90, overAllowedDb: 4 })] }),
      track(3, { cells: [cell({ levelDb: null, status: 'cleared', upperLimitDb: -110 })] }),
      track(4, { cells: [cell({ levelDb: -60, overAllowedDb: 9 })] }),
    ]),
    ALL,
    'worst',
    () => 0,
  );
  expect(rows.map((row) => row.kind === 'track' && row.track.number)).toEqual([4, 2, 1, 3]);
});

test('filters take source, band and a status that a line ever had', () => {
  const all = grid([
    track(1),
    track(2, { band: null, cells: [cell(), cell({ status: 'cleared', levelDb: null })] }),
    track(3, { source: null, cause: 'ambient' }),
  ]);
  const numbers = (filter: Partial<typeof ALL>) => filteredTracks(all, { ...ALL, ...filter }).map((one) => one.number);
  expect(numbers({})).toEqual([1, 2, 3]);
  expect(numbers({ source: 'U1' } as never)).toEqual([1, 2]);
  expect(numbers({ source: 'from outside' } as never)).toEqual([3]);
  expect(numbers({ band: 'low' } as never)).toEqual([1, 3]);
  expect(numbers({ status: 'cleared' } as never)).toEqual([2]);
  expect(gridGroups(all)).toEqual(['U1', 'from outside']);
});

test('a cell that was not seen prints its limit, proven or not, never a blank', () => {
  expect(cellFigure(cell())).toBe('−80.0');
  expect(cellFigure(cell({ levelDb: null, status: 'cleared', upperLimitDb: -111.7 }))).toBe('≤\u2009−111.7');
  expect(cellFigure(cell({ levelDb: null, status: 'weaker', upperLimitDb: -100 }))).toBe('≤\u2009−100.0');
  expect(cellFigure(cell({ levelDb: null, status: 'hidden', upperLimitDb: -90 }))).toBe('?\u2009−90.0');
  expect(cellFigure(cell({ levelDb: null, status: 'uncovered' }))).toBe('···');
  expect(cellFigure(cell({ levelDb: null, frequencyHz: null, status: 'hidden' }))).toBe('?');
});

test('a change is shown from half a decibel on, and sure only where the status says so', () => {
  expect(cellChange(cell())).toBeNull();
  expect(cellChange(cell({ changeDb: 0.2 }))).toBeNull();
  expect(cellChange(cell({ changeDb: 1.2 }))).toEqual({ text: '+1', isSure: false });
  expect(cellChange(cell({ changeDb: -15.2, status: 'weaker' }))).toEqual({ text: '−15', isSure: true });
});

test('words of a cell say status, level with doubt, limit, change and what is over', () => {
  expect(cellWords(cell({ status: 'weaker', changeDb: -15, changeSigmaDb: 1.4, overAllowedDb: 3 }), 'S3', 'dBm')).toBe(
    'S3: weaker, −80.0 ± 0.3 dBm, change −15.0 ± 1.4 dB, 3.0 dB over what is allowed',
  );
  expect(cellWords(null, 'S3', 'dBm')).toBe('S3: not followed here');
});

test('thickness follows the absolute level between the weakest and the strongest of the grid', () => {
  const { lowDb, highDb } = levelRange(
    grid([track(1, { cells: [cell({ levelDb: -120 }), cell({ levelDb: -60 }), null] })]),
  );
  expect([lowDb, highDb]).toEqual([-120, -60]);
  expect(threadThickness(-120, lowDb, highDb)).toBe(2);
  expect(threadThickness(-60, lowDb, highDb)).toBe(14);
  expect(threadThickness(-90, lowDb, highDb)).toBe(8);
  expect(threadThickness(-90, -90, -90)).toBe(6);
});
