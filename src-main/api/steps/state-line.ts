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

/**
 * Designators that the fixes on the way from one state to a later one were meant for, each once; a fix that was taken out again on
 * the way counts too. Empty where the later state does
 * not come from the earlier one, or nobody said what the fixes were meant for.
 */
export function sourcesMeant(
  fromStateId: number | null,
  toStateId: number | null,
  states: readonly BuildState[],
  fixes: readonly Fix[],
): readonly string[] {
  const line = earlierStates(toStateId, states);
  const start = line.findIndex(({ id }) => id === fromStateId);
  if (start < 0) return [];
  const [since, until] = [Date.parse(line[start]!.at), Date.parse(line.at(-1)!.at)];
  const way = fixes.filter((fix) => {
    const place = line.findIndex(({ id }) => id === fix.fromStateId);
    const isMade = place >= start && line[place + 1]?.id === fix.toStateId;
    const undone = fix.undoneAt === null ? NaN : Date.parse(fix.undoneAt);
    return isMade || (since < undone && undone <= until);
  });
  return [...new Set(way.flatMap(({ sources }) => sources))];
}
