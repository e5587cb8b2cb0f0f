import type { Candidate } from '../../model/attribution.ts';
import type { OwnersAfter } from './owners-by-switching.ts';

/** What switching changed of an explanation, in words; null where nothing. */
export function switchedWords(
  causeAlone: string,
  candidatesAlone: readonly Candidate[],
  switched: { readonly cause: string; readonly candidates: readonly Candidate[] },
  combOf: (candidate: Candidate) => number,
  after: readonly OwnersAfter[],
  { notOf, wholeOf }: { readonly notOf: ReadonlySet<number>; readonly wholeOf: number },
): string | null {
  const best = candidatesAlone[0];
  const now = switched.candidates[0];
  if (best === undefined) return null;
  const c = combOf(best);
  const whose = (candidate: Candidate) =>
    `harmonic ${candidate.harmonic} of ${candidate.source ?? 'a comb that no register entry accounts for'}`;
  if (causeAlone === 'shared' && wholeOf >= 0 && switched.cause !== 'shared' && now !== undefined)
    return `is ${whose(now)}: of the combs that fall together here it alone still shows the whole line where it has moved or run on`;
  if (c >= 0 && notOf.has(c)) return `would be ${whose(best)} by frequency, but stands unchanged without that comb`;
  if (c >= 0 && after[c]!.isRefuted) {
    const files = [
      ...new Set(after[c]!.excluded.filter(({ because }) => because === 'stayed').map(({ file }) => file)),
    ];
    return `would be harmonic ${best.harmonic} of ${after[c]!.excluded.map(({ source }) => source).join(' or ')} by frequency, but that whole comb runs on with it stated to be off (${files.join(', ')})`;
  }
  if (causeAlone === 'ambiguous' && switched.cause === 'source' && now !== undefined) {
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
