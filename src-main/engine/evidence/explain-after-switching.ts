import type { Candidate, Cause, LineExplanation } from '../../model/attribution.ts';
import type { OwnersAfter } from './owners-by-switching.ts';

/** What switching says of one line beside its combs. */
export interface LineSwitching {
  /** Combs (by index) that the line cannot belong to: it stood unchanged while they had gone. */
  readonly notOf: ReadonlySet<number>;
  /** Sources that were off while the line stood unchanged. */
  readonly notBy: ReadonlySet<string>;
  /** The one comb whose tooth the whole line proved to be; −1 where nothing did. */
  readonly wholeOf: number;
}

export interface SwitchedExplanation {
  readonly cause: Cause;
  readonly candidates: readonly Candidate[];
}

interface Left {
  readonly candidate: Candidate;
  readonly comb: number;
}

/**
 * The explanation of one line once switching has narrowed who can own its combs.
 *
 * Candidates that were excluded go. Their comb, refuted for all its owners, stays as one that the register does not know. A cause changes
 * only with its reason:
 * - several entries could own the comb (`ambiguous`): one owner left is a `source`;
 * - several combs could own the line (`shared`, or `ambiguous` between combs): the one proven to carry the whole line, or the one left of
 *   the two likeliest, owns it; a comb proven for its other lines proves nothing for this one;
 * - a line whose comb is excluded falls to what is left: two or more candidates are `ambiguous`, fewer leave it `unexplained`;
 * - a beat or sideband that stands unchanged without one of its sources is none.
 *
 * @param isOwned true where the comb had one settled owner by its own capture alone
 */
export function explainAfterSwitching(
  { cause, candidates }: Pick<LineExplanation, 'cause' | 'candidates'>,
  combOf: (candidate: Candidate) => number,
  isOwned: (comb: number) => boolean,
  after: readonly OwnersAfter[],
  line: LineSwitching,
): SwitchedExplanation {
  const [first] = candidates;
  if (first === undefined) return { cause, candidates };
  if (cause === 'beat' || cause === 'sideband') {
    const isNone = candidates.some(({ source }) => source !== null && line.notBy.has(source));
    return isNone ? { cause: 'unexplained', candidates: [] } : { cause, candidates };
  }
  const left = candidatesLeft(candidates, combOf, after, line);
  const rest = left.map((entry) => entry.candidate);
  const firstComb = combOf(first);
  const isBetween = cause === 'shared' || (cause === 'ambiguous' && (firstComb < 0 || isOwned(firstComb)));
  if (isBetween) return betweenCombs(cause, candidates, combOf, left, line.wholeOf);
  if (cause !== 'source' && cause !== 'ambiguous' && cause !== 'unknown-comb') return { cause, candidates: rest };

  const own = left.filter((entry) => entry.comb === firstComb).map((entry) => entry.candidate);
  if (own.length === 0) return { cause: causeLeft(rest), candidates: rest };
  const ordered = [...own, ...rest.filter((candidate) => !own.includes(candidate))];
  if (own.every((candidate) => candidate.source === null)) return { cause: 'unknown-comb', candidates: ordered };
  if (firstComb < 0) return { cause, candidates: ordered };
  // `ambiguous` with one owner from the start: several combs in its range; only what it went with settles which
  const isSettled = after[firstComb]!.wentWith.length > 0 || after[firstComb]!.excluded.length > 0;
  if (cause === 'ambiguous' && (own.length > 1 || !isSettled)) return { cause, candidates: ordered };
  return { cause: causeOfComb(own), candidates: ordered };
}

function candidatesLeft(
  candidates: readonly Candidate[],
  combOf: (candidate: Candidate) => number,
  after: readonly OwnersAfter[],
  { notOf, notBy }: LineSwitching,
): Left[] {
  const seen = new Set<string>();
  return candidates.flatMap((candidate): Left[] => {
    const comb = combOf(candidate);
    if (comb >= 0 && notOf.has(comb)) return [];
    if (comb >= 0 && after[comb]!.isRefuted) {
      const key = `${comb}/${candidate.harmonic}`;
      if (seen.has(key)) return [];
      seen.add(key);
      return [{ candidate: { ...candidate, source: null }, comb }];
    }
    if (candidate.source === null) return [{ candidate, comb }];
    if (notBy.has(candidate.source)) return [];
    return comb < 0 || after[comb]!.owners.includes(candidate.source) ? [{ candidate, comb }] : [];
  });
}

/** A line that two or more combs, or sources without one, could own each for itself. */
function betweenCombs(
  cause: Cause,
  candidates: readonly Candidate[],
  combOf: (candidate: Candidate) => number,
  left: readonly Left[],
  wholeOf: number,
): SwitchedExplanation {
  const keyOf = (candidate: Candidate) => {
    const comb = combOf(candidate);
    return comb < 0 ? (candidate.source ?? '') : comb;
  };
  const keyOfLeft = ({ candidate, comb }: Left) => (comb < 0 ? (candidate.source ?? '') : comb);
  const likeliest = [...new Set(candidates.map(keyOf))].slice(0, 2);
  const standing = likeliest.filter((key) => left.some((entry) => keyOfLeft(entry) === key));
  const isProven = wholeOf >= 0 && left.some((entry) => entry.comb === wholeOf);
  const winner = isProven ? wholeOf : likeliest.length === 2 && standing.length === 1 ? standing[0]! : null;
  const rest = left.map((entry) => entry.candidate);
  if (winner === null) return { cause: standing.length === 0 ? causeLeft(rest) : cause, candidates: rest };
  const own = left.filter((entry) => keyOfLeft(entry) === winner).map((entry) => entry.candidate);
  return { cause: causeOfComb(own), candidates: [...own, ...rest.filter((candidate) => !own.includes(candidate))] };
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
