import type { BuildState, Fix } from '../../model/build-state.ts';

/** A state and all it came from, oldest first; empty where there is no such state. A circle of parents ends the line. */
export function earlierStates(stateId: number | null, states: readonly BuildState[]): readonly BuildState[] {
  const line: BuildState[] = [];
  let state = states.find(({ id }) => id === stateId);
  while (state !== undefined && !line.includes(state)) {
    line.unshift(state);
    const { parentId } = state;
    state = states.find(({ id }) => id === parentId);
  }
  return line;
}

/** The fix that leads from one state to the other, if one was entered. */
export function fixBetween(
  fromStateId: number | null,
  toStateId: number | null,
  fixes: readonly Fix[],
): Fix | undefined {
  return fixes.find((fix) => fix.fromStateId === fromStateId && fix.toStateId === toStateId);
}
