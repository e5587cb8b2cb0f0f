import type { BuildState, Fix } from '../../model/build-state.ts';
import { DEFAULT_COMPARE_SETTINGS } from '../../model/compare-settings.ts';
import type { MeasuringPoint } from '../../model/measuring-point.ts';
import type { PacketComparison } from '../../model/packet.ts';
import { DEFAULT_VERDICT_SETTINGS } from '../../model/verdict-settings.ts';
import type { StoredCapture } from '../../register/capture-store.ts';
import { earlierStates, sourcesMeant } from '../steps/state-line.ts';

interface Group {
  readonly name: string;
  readonly captures: readonly StoredCapture[];
}

/**
 * Which captures a packet compares: like with like (point, mode, near temperature), each measured state with the nearest measured
 * one it came from, and the last with the first where there are more than two.
 */
export function packetComparisons(
  states: readonly BuildState[],
  captures: readonly StoredCapture[],
  points: readonly MeasuringPoint[],
  fixes: readonly Fix[],
): PacketComparison[] {
  return groupsOf(captures, points).reduce<PacketComparison[]>(
    (all, group) => [...all, ...ofGroup(group, states, fixes, all.length)],
    [],
  );
}

function ofGroup(
  { name, captures }: Group,
  states: readonly BuildState[],
  fixes: readonly Fix[],
  first: number,
): PacketComparison[] {
  const idsOf = (stateId: number): number[] =>
    captures.flatMap((capture) => (capture.stateId === stateId ? [capture.id] : []));
  const measured = states.filter(({ id }) => idsOf(id).length > 0);
  const made: { from: BuildState; to: BuildState; comparison: PacketComparison }[] = [];
  const add = (from: BuildState, to: BuildState, after: readonly number[]): void => {
    made.push({
      from,
      to,
      comparison: {
        name: `${from.name} → ${to.name}, ${name}`,
        beforeIds: idsOf(from.id),
        afterIds: idsOf(to.id),
        after,
        settings: DEFAULT_COMPARE_SETTINGS,
        meantFor: sourcesMeant(from.id, to.id, states, fixes),
      },
    });
  };
  for (const to of measured) {
    const line = earlierStates(to.id, states);
    const from = line
      .slice(0, -1)
      .reverse()
      .find((state) => measured.includes(state));
    if (from === undefined) continue;
    // what was cleared on the way to the earlier side is `back` when it is seen again
    const after = made.flatMap(({ to: reached }, i) => (line.includes(reached) ? [first + i] : []));
    add(from, to, after);
  }
  const last = measured.at(-1);
  const baseline =
    last === undefined ? undefined : earlierStates(last.id, states).find((state) => measured.includes(state));
  const already = made.some(({ from, to }) => from === baseline && to === last);
  if (last !== undefined && baseline !== undefined && baseline !== last && !already) add(baseline, last, []);
  return made.map(({ comparison }) => comparison);
}

/** Captures of the item in a state, in groups that are alike. */
function groupsOf(captures: readonly StoredCapture[], points: readonly MeasuringPoint[]): Group[] {
  const pointName = new Map(points.map(({ id, name }) => [id, name]));
  const alike = new Map<string, StoredCapture[]>();
  for (const capture of captures) {
    if (capture.condition.role !== 'item' || capture.stateId === null) continue;
    const key = JSON.stringify([capture.pointId, capture.condition.mode]);
    alike.set(key, [...(alike.get(key) ?? []), capture]);
  }
  return [...alike.values()].flatMap((group) => {
    const { pointId, condition } = group[0]!;
    const place = `${pointName.get(pointId ?? 0) ?? 'no point'}, ${condition.mode ?? 'mode not stated'}`;
    const warmth = byTemperature(group);
    return warmth.map((captures) => ({
      name: warmth.length === 1 ? place : `${place}, ${temperatureOf(captures)}`,
      captures,
    }));
  });
}

/** Parts the captures where two neighbouring temperatures lie further apart than those that count as alike. */
function byTemperature(captures: readonly StoredCapture[]): StoredCapture[][] {
  const sorted = [...captures].sort(
    (a, b) => (a.condition.temperatureC ?? NaN) - (b.condition.temperatureC ?? NaN) || a.id - b.id,
  );
  const stated = sorted.filter(({ condition }) => condition.temperatureC !== null);
  const parts: StoredCapture[][] = [];
  for (const capture of stated.sort((a, b) => a.condition.temperatureC! - b.condition.temperatureC! || a.id - b.id)) {
    const last = parts.at(-1);
    const gap = last === undefined ? Infinity : capture.condition.temperatureC! - last.at(-1)!.condition.temperatureC!;
    if (gap > DEFAULT_VERDICT_SETTINGS.likeTemperatureK) parts.push([capture]);
    else last!.push(capture);
  }
  const unstated = captures.filter(({ condition }) => condition.temperatureC === null);
  if (unstated.length > 0) parts.push([...unstated]);
  return parts.map((part) => part.sort((a, b) => a.id - b.id));
}

function temperatureOf(captures: readonly StoredCapture[]): string {
  const all = captures.flatMap(({ condition }) => (condition.temperatureC === null ? [] : [condition.temperatureC]));
  if (all.length === 0) return 'temperature not stated';
  const [low, high] = [Math.min(...all), Math.max(...all)];
  return low === high ? `${low} °C` : `${low} to ${high} °C`;
}
