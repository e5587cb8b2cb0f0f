import type { Candidate } from '../../model/attribution.ts';
import type { LineSwitching } from './explain-after-switching.ts';
import type { OwnersAfter } from './owners-by-switching.ts';

/** Causes that name what a line is a tooth of. */
const NAMES = new Set(['source', 'unknown-comb']);

/** What switching changed of an explanation, in words; null where nothing. */
export function switchedWords(
  causeAlone: string,
  candidatesAlone: readonly Candidate[],
  switched: { readonly cause: string; readonly candidates: readonly Candidate[] },
  combOf: (candidate: Candidate) => number,
  isOwned: (comb: number) => boolean,
  after: readonly OwnersAfter[],
  { notOf, notBy }: LineSwitching,
): string | null {
  const best = candidatesAlone[0];
  const now = switched.candidates[0];
  if (best === undefined) return null;
  const c = combOf(best);
  const isBetween = c < 0 || isOwned(c);
  const whose = (candidate: Candidate) =>
    `harmonic ${candidate.harmonic} of ${candidate.source ?? 'a comb that no register entry accounts for'}`;
  if (causeAlone === 'beat' || causeAlone === 'sideband') {
    const gone = candidatesAlone.flatMap(({ source }) => (source !== null && notBy.has(source) ? [source] : []));
    if (switched.cause === causeAlone || gone.length === 0) return null;
    return `would be a ${causeAlone} with ${gone[0]!} by frequency, but stands unchanged with it off`;
  }
  if (c >= 0 && after[c]!.isRefuted) {
    const files = [
      ...new Set(after[c]!.excluded.filter(({ because }) => because === 'stayed').map(({ file }) => file)),
    ];
    return `would be harmonic ${best.harmonic} of ${after[c]!.excluded.map(({ source }) => source).join(' or ')} by frequency, but that whole comb runs on with it stated to be off (${files.join(', ')})`;
  }
  if ((c >= 0 && notOf.has(c)) || (best.source !== null && notBy.has(best.source))) {
    const instead = now !== undefined && NAMES.has(switched.cause) ? `; it is ${whose(now)}, which fits as well` : '';
    return `would be ${whose(best)} by frequency, but stands unchanged without that comb${instead}`;
  }
  if (
    NAMES.has(switched.cause) &&
    (causeAlone === 'shared' || (causeAlone === 'ambiguous' && isBetween)) &&
    now !== undefined
  )
    return `is ${whose(now)}: of what could own it, that alone shows the whole line where the other had gone or moved`;
  if (causeAlone === 'ambiguous' && switched.cause === 'source' && now !== undefined && c >= 0) {
    const gone = after[c]!.wentWith[0];
    const kept = [...new Set(after[c]!.excluded.map(({ source }) => source))].filter((source) => source !== now.source);
    const reasons = [
      ...(gone === undefined
        ? []
        : [`the whole comb goes when ${gone.sources.join(', ')} is switched off (${gone.file})`]),
      ...(kept.length === 0
        ? []
        : [`${kept.join(', ')} ${kept.length === 1 ? 'is' : 'are'} ruled out by what was switched off`]),
    ];
    return `is ${whose(now)}: frequency alone could not choose, but ${reasons.length === 0 ? 'switching gave the other owner another comb' : reasons.join(', and ')}`;
  }
  return null;
}
