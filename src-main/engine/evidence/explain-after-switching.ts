import type { Candidate, Cause, LineExplanation } from '../../model/attribution.ts';
import type { OwnersAfter } from './owners-by-switching.ts';

/** What switching says of one line beside its combs. */
export interface LineSwitching {
  /** Combs (by index) that the line cannot belong to: it stood unchanged while they had gone, or did not move along with them. */
  readonly notOf: ReadonlySet<number>;
  /** The one comb whose tooth the whole line proved to be; −1 where nothing did. */
  readonly wholeOf: number;
}

export interface SwitchedExplanation {
  readonly cause: Cause;
  readonly candidates: readonly Candidate[];
}

/**
 * The explanation of one line once switching has narrowed who can own its combs.
 *
 * Candidates that were excluded go. Their comb, refuted for all its owners, stays as one that the register does not know. A cause changes only
 * with its reason: one owner left makes `ambiguous` a `source`; a line proven to be of one of several combs that share it is that comb's;
 * a line whose comb is excluded falls to what is left: two or more candidates are `ambiguous`, fewer leave it `unexplained`.
 */
export function explainAfterSwitching(
  { cause, candidates }: Pick<LineExplanation, 'cause' | 'candidates'>,
  combOf: (candidate: Candidate) => number,
  after: readonly OwnersAfter[],
  { notOf, wholeOf }: LineSwitching,
): SwitchedExplanation {
  const firstComb = candidates[0] === undefined ? -1 : combOf(candidates[0]);
  const seen = new Set<string>();
  const left = candidates.flatMap((candidate): { candidate: Candidate; comb: number }[] => {
    const comb = combOf(candidate);
    if (comb < 0) return [{ candidate, comb }];
    if (notOf.has(comb)) return [];
    if (!after[comb]!.isRefuted)
      return candidate.source === null || after[comb]!.owners.includes(candidate.source) ? [{ candidate, comb }] : [];
    const key = `${comb}/${candidate.harmonic}`;
    if (seen.has(key)) return [];
    seen.add(key);
    return [{ candidate: { ...candidate, source: null }, comb }];
  });
  const of = (comb: number) => left.filter((entry) => entry.comb === comb).map((entry) => entry.candidate);
  const rest = left.map((entry) => entry.candidate);
  if (cause === 'shared') {
    if (wholeOf < 0 || of(wholeOf).length === 0) {
      const combs = new Set(left.map((entry) => entry.comb));
      return combs.size >= 2 ? { cause, candidates: rest } : { cause: causeLeft(rest), candidates: rest };
    }
    const own = of(wholeOf);
    return { cause: causeOfComb(own), candidates: [...own, ...rest.filter((candidate) => !own.includes(candidate))] };
  }
  if (cause !== 'source' && cause !== 'ambiguous' && cause !== 'unknown-comb') return { cause, candidates: rest };
  if (firstComb < 0) return { cause, candidates };
  const own = of(firstComb);
  if (own.length === 0) return { cause: causeLeft(rest), candidates: rest };
  const ordered = [...own, ...rest.filter((candidate) => !own.includes(candidate))];
  if (own.every((candidate) => candidate.source === null)) return { cause: 'unknown-comb', candidates: ordered };
  // `ambiguous` with one owner from the start: several combs in its range; only what it went with settles which
  const isSettled = after[firstComb]!.wentWith.length > 0 || after[firstComb]!.excluded.length > 0;
  if (cause === 'ambiguous' && (own.length > 1 || !isSettled)) return { cause, candidates: ordered };
  return { cause: causeOfComb(own), candidates: ordered };
}

/** One owner: source; several: ambiguous; none: a comb nobody knows. */
function causeOfComb(own: readonly Candidate[]): Cause {
  if (own.every((candidate) => candidate.source === null)) return 'unknown-comb';
  return own.length === 1 ? 'source' : 'ambiguous';
}

/** A line that lost its comb: lesser candidates name nothing by themselves. */
function causeLeft(rest: readonly Candidate[]): Cause {
  return rest.filter((candidate) => candidate.source !== null).length >= 2 ? 'ambiguous' : 'unexplained';
}
