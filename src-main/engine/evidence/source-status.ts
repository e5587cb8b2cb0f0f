import type { Condition } from '../../model/condition.ts';
import type { Source } from '../../model/source.ts';
import { clockedFrom, goingOff } from '../../model/source-tree.ts';

/**
 * `unsaid`: nobody said, so it is taken to be as it was in other captures; `unsure`: something was done that may have stopped it (its
 * clock was switched off, or all that is ours).
 */
export type SourceStatus = 'on' | 'off' | 'unsaid' | 'unsure';

/**
 * Which sources were on and off in a capture.
 *
 * Stated lists first; what an off source feeds is off with it unless stated on. Role `off`: what nobody listed as on is off as well,
 * save that with a list of those off a source that is not ours and not in it is unsure. With a list of those on and none of those off,
 * a source not in the list is off: the list is what ran. What is clocked from an off source is unsure unless stated.
 */
export function statusLookup(
  condition: Condition | null,
  sources: readonly Source[],
): (designator: string) => SourceStatus {
  const on = new Set(condition?.sourcesOn ?? []);
  const listedOff = condition?.sourcesOff ?? [];
  const off = new Set(goingOff(listedOff, sources).filter((designator) => !on.has(designator)));
  const hasOffList = listedOff.length > 0;
  const byRole = condition?.role === 'off';
  const status = new Map<string, SourceStatus>();
  for (const { designator, owner } of sources) {
    if (on.has(designator)) status.set(designator, 'on');
    else if (off.has(designator)) status.set(designator, 'off');
    else if (byRole) status.set(designator, hasOffList && owner !== 'ours' ? 'unsure' : 'off');
    else if (condition?.sourcesOn != null && on.size > 0 && !hasOffList) status.set(designator, 'off');
    else status.set(designator, 'unsaid');
  }
  if (!byRole)
    for (const master of off)
      for (const locked of clockedFrom(master, sources))
        if (!on.has(locked) && !off.has(locked)) status.set(locked, 'unsure');
  return (designator) => status.get(designator) ?? 'unsaid';
}
