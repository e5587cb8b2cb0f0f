import { expect, test } from 'vitest';
import { earlierStates, sourcesMeant } from '../../../src-main/api/steps/state-line.ts';
import type { BuildState, Fix } from '../../../src-main/model/build-state.ts';

const state = (id: number, parentId: number | null): BuildState => ({
  id,
  parentId,
  name: `S${id}`,
  description: '',
  at: `2026-03-0${id}T10:00:00Z`,
  configuration: [],
});
const fix = (fromStateId: number, toStateId: number, ...sources: string[]): Fix => ({
  id: fromStateId * 10 + toStateId,
  fromStateId,
  toStateId,
  change: '',
  sources,
  by: '',
  at: '',
  undoneAt: null,
  notes: '',
});

// 1 → 2 → 3, and 4 is a branch from 2.
const states = [state(1, null), state(2, 1), state(3, 2), state(4, 2)];
const fixes = [fix(1, 2, 'A'), fix(2, 3, 'B', 'A'), fix(2, 4, 'C')];

test('the line of a state holds all it came from, oldest first', () => {
  expect(earlierStates(4, states).map(({ id }) => id)).toEqual([1, 2, 4]);
  expect(earlierStates(null, states)).toEqual([]);
  expect(earlierStates(9, states)).toEqual([]);
});

test('a circle of parents, which the register refuses, still ends', () => {
  expect(earlierStates(1, [state(1, 2), state(2, 1)]).map(({ id }) => id)).toEqual([2, 1]);
});

test.each([
  [1, 2, ['A']],
  [2, 3, ['B', 'A']],
  [1, 3, ['A', 'B']],
  [1, 4, ['A', 'C']],
  [3, 4, []],
  [3, 1, []],
  [null, 2, []],
  [1, null, []],
])('from state %s to %s the fixes were meant for %j', (from, to, sources) => {
  expect(sourcesMeant(from, to, states, fixes)).toEqual(sources);
});

test('a fix that was taken out between the two states is what the step was about', () => {
  const undone = { ...fix(1, 2, 'A'), undoneAt: '2026-03-02T18:00:00Z' };
  expect(sourcesMeant(2, 3, states, [undone])).toEqual(['A']);
  expect(sourcesMeant(3, 4, states, [undone])).toEqual([]);
});
