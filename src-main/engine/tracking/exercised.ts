import type { Exercised } from '../../model/track.ts';
import type { Source } from '../../model/source.ts';
import type { Side } from './side.ts';
import { offWithChildren } from './source-drift.ts';
import type { View } from './whereabouts.ts';

/**
 * Is there evidence that a source ran while this side was taken?
 *
 * `shown`: another line of it was seen there, one that it alone explains. `stated`: the conditions of a file name it as on, and it
 * is not off with whatever feeds it.
 */
function exercisedOn(side: Side, name: string, sources: readonly Source[]): Exercised {
  if (seenAlone(side, name)) return 'shown';
  const stated = side.traces.some(({ triaged: { condition } }) => {
    if (condition === null || !(condition.sourcesOn ?? []).includes(name)) return false;
    return !offWithChildren(condition.sourcesOff ?? [], sources).has(name);
  });
  return stated ? 'stated' : 'unknown';
}

function seenAlone(side: Side, name: string): boolean {
  return side.explanations.some(({ cause, candidates }) => cause === 'source' && candidates[0]?.source === name);
}

/**
 * Evidence that a track's source ran in the capture where its line was not seen; where it was seen on both sides the line itself shows it.
 *
 * Other lines of its family count where the family as such was found again: a single line may lie on one of them by accident.
 */
export function exercisedLookup(view: View, sources: readonly Source[]) {
  const known = new Map<string, Exercised>();
  return (i: number | null, j: number | null, source: string | null): Exercised => {
    if (i !== null && j !== null) return 'shown';
    const [own, moves] = i !== null ? [view.own, view.moves] : [view.other, view.movesOfOther];
    const group = own.lines.group[i ?? j!]!;
    if (group >= 0 && moves[group] !== null) return 'shown';
    if (source === null) return 'unknown';
    const key = `${i !== null ? 'after' : 'before'} ${source}`;
    const answer = known.get(key) ?? exercisedOn(i !== null ? view.other : view.own, source, sources);
    known.set(key, answer);
    return answer;
  };
}

/** Warnings by name for sources whose stated state contradicts or explains what was seen. */
export function stateWarnings(
  side: Side,
  when: 'before' | 'after',
  namesSeenOnOther: ReadonlySet<string>,
  sources: readonly Source[],
): string[] {
  const warnings: string[] = [];
  const off = new Set<string>();
  for (const { triaged } of side.traces)
    for (const name of offWithChildren(triaged.condition?.sourcesOff ?? [], sources)) off.add(name);
  for (const name of [...off].sort()) {
    if (seenAlone(side, name)) {
      warnings.push(`${name} is stated to be off in the ${when} capture, yet lines of it were found there`);
    } else if (namesSeenOnOther.has(name)) {
      warnings.push(
        `${name} was off in the ${when} capture (stated, or with what feeds it): its lines not being seen there is not the work of a fix`,
      );
    }
  }
  return warnings;
}
