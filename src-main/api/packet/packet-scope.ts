import type { BuildState } from '../../model/build-state.ts';
import type { Register } from '../../register/register.ts';
import type { StoredCapture } from '../../register/capture-store.ts';
import { earlierStates } from '../steps/state-line.ts';

/** What of a register a packet carries. */
export interface PacketScope {
  /** Oldest first. */
  readonly states: readonly BuildState[];
  readonly captures: readonly StoredCapture[];
  /** What lies outside, one line each. */
  readonly leftOut: readonly string[];
}

/**
 * The frozen state with all it came from, their captures, and reference captures that belong to no state; with `stateId` null the
 * whole register.
 */
export function packetScope(
  { states, captures }: Pick<Register, 'states' | 'captures'>,
  stateId: number | null,
): PacketScope {
  const allStates = states.list();
  const allCaptures = captures.list();
  if (stateId === null) return { states: byDate(allStates), captures: allCaptures, leftOut: [] };
  const line = earlierStates(stateId, allStates);
  const inLine = new Set(line.map(({ id }) => id));
  const isIn = (capture: StoredCapture): boolean =>
    capture.stateId === null ? capture.condition.role !== 'item' : inLine.has(capture.stateId);
  const others = allStates.filter(({ id }) => !inLine.has(id));
  const outside = allCaptures.filter((capture) => !isIn(capture));
  const ofOthers = outside.filter((capture) => capture.stateId !== null).length;
  const homeless = outside.length - ofOthers;
  return {
    states: line,
    captures: allCaptures.filter(isIn),
    leftOut: [
      ...(others.length > 0
        ? [
            `Not on the way to this state and left out: ${others.map(({ name }) => name).join(', ')}, with ${ofOthers} captures.`,
          ]
        : []),
      ...(homeless > 0 ? [`Left out since they belong to no state: ${homeless} captures of the item.`] : []),
    ],
  };
}

function byDate(states: readonly BuildState[]): BuildState[] {
  return [...states].sort((a, b) => Date.parse(a.at) - Date.parse(b.at) || a.id - b.id);
}
