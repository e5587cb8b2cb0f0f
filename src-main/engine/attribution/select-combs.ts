import { guessesFrom, rankGuesses, refineBest, relatedGuesses, strongestLines } from './comb-search.ts';
import { supportComb, type SearchContext, type SearchScope, type SupportedComb } from './comb-support.ts';
import { contextOf, unexplainedLines, type AcceptedComb, type SelectionInput } from './selection.ts';
import type { SourceRange } from './source-scopes.ts';
import { stabIntervals } from './stab-intervals.ts';

/** Lines of a claimed comb that a rival fundamental is sought from. */
const CHALLENGING_LINES = 24;
/** A first guess no better supported than this (log10) is not refined. A choice of this tool: refining gains a decade or two. */
const HOPELESS = -0.5;
/** Fundamentals tried per depth of look: the right one is nearly always among the first. */
const STABS_TRIED = 8;
/** Relative difference of two fundamentals that refinement leads to the same place. A choice of this tool. */
const SAME_STAB = 1e-6;
/** How many guesses of one source are carried along; the right one is nearly always the first. */
const GUESSES_KEPT = 8;

/** Fundamentals worth a closer look in one source's range. */
export function guessFundamentals(context: SearchContext, scope: SearchScope, log10Claim: number): SupportedComb[] {
  const { lines, coverage, spanLowHz, spanHighHz, matchSigma, active } = context;
  const first = Math.max(1, Math.ceil(spanLowHz / scope.highHz));
  const last = Math.min(scope.maxHarmonic, Math.floor(spanHighHz / scope.lowHz));
  if (last < first) return [];
  const weights = new Float64Array(lines.count);
  for (let i = 0; i < lines.count; i++)
    weights[i] = Math.max(0.1, Math.log(0.75 / coverage.probabilityAt(lines.frequencyHz[i]!)));
  // a comb that shows only its first harmonics drowns among accidental matches of the high ones: look there alone too
  const caps = [...new Set([8, 24, 80, 250, Infinity].map((depth) => Math.min(last, first + depth - 1)))];
  const guesses: SupportedComb[] = [];
  const tried: number[] = [];
  for (const cap of caps)
    for (const { fundamentalHz } of stabIntervals(
      lines,
      active,
      weights,
      matchSigma,
      scope.lowHz,
      scope.highHz,
      first,
      cap,
      STABS_TRIED,
    )) {
      if (tried.some((other) => Math.abs(other / fundamentalHz - 1) < SAME_STAB)) continue;
      tried.push(fundamentalHz);
      const comb = supportComb(context, scope, fundamentalHz, 0, HOPELESS);
      if (comb.log10Chance < log10Claim) guesses.push(comb);
    }
  guesses.sort((a, b) => a.log10Support - b.log10Support);
  const kept: SupportedComb[] = [];
  for (const guess of guesses) {
    if (kept.length >= GUESSES_KEPT) break;
    const twin = kept.some(
      (other) =>
        Math.abs(other.fit.fundamentalHz - guess.fit.fundamentalHz) <= 3 * (other.fit.sigmaHz + guess.fit.sigmaHz),
    );
    if (!twin) kept.push(guess);
  }
  return kept;
}

/**
 * The comb outside every entry's range that explains a claimed comb's lines better than the claim does; null where there is none.
 *
 * A comb that nobody registered also feeds every entry at a multiple or a simple ratio of it. So each claim must stand
 * against the best fundamental, of whatever value, that its own lines could belong to.
 */
function betterRival(
  context: SearchContext,
  claim: SupportedComb,
  anyScope: SearchScope,
  ranges: readonly SourceRange[],
  log10Claim: number,
): SupportedComb | null {
  const own = [...claim.matches].filter((line) => line >= 0);
  const starts = strongestLines(context, own, CHALLENGING_LINES);
  const guesses = rankGuesses(context, [
    ...guessesFrom(context, anyScope, starts),
    ...relatedGuesses(claim, anyScope),
  ]).filter(
    ({ fundamentalHz }) => !ranges.some(({ scope }) => fundamentalHz >= scope.lowHz && fundamentalHz <= scope.highHz),
  );
  const rival = refineBest(context, anyScope, guesses, log10Claim);
  return rival !== null && rival.log10Support < claim.log10Support ? rival : null;
}

/**
 * Lets all sources compete for all lines: the best-supported comb is taken, its lines are set aside, and the rest is judged
 * again, until nothing is left below the claim. Then each comb must still be needed with all the others in place:
 * a source whose lines a truer comb explains (its double, say) is given up.
 */
export function selectCombs(
  input: SelectionInput,
  ranges: readonly SourceRange[],
  anyScope: SearchScope | null,
): AcceptedComb[] {
  const claim = Math.log10(input.claimChance);
  const accepted: AcceptedComb[] = [];
  let active = unexplainedLines(input, accepted);
  for (let pass = 0; pass < 4; pass++) {
    let context = contextOf(input, active);
    let pool: Bid[] = ranges.flatMap((range) =>
      guessFundamentals(context, range.scope, claim).map((comb) => ({ range, comb, round: 0 })),
    );
    let taken = 0;
    for (;;) {
      const best = bestBid(pool, context, taken, claim);
      if (best === null) break;
      const rival = anyScope === null ? null : betterRival(context, best.comb, anyScope, ranges, claim);
      accepted.push(
        rival === null
          ? { comb: best.comb, scope: best.range.scope, found: best.range }
          : { comb: rival, scope: anyScope!, found: null },
      );
      taken++;
      active = unexplainedLines(input, accepted);
      context = contextOf(input, active);
      if (rival === null) pool = pool.filter((bid) => bid !== best);
    }
    const before = accepted.length;
    dropUnneeded(input, accepted, claim);
    active = unexplainedLines(input, accepted);
    if (taken === 0 || (pass > 0 && before !== accepted.length)) break;
  }
  return accepted;
}

/** One entry's offer to explain lines, as it stood after so many combs had been taken. */
interface Bid {
  readonly range: SourceRange;
  comb: SupportedComb;
  round: number;
}

/**
 * The best bid below the claim, judged by the lines that are left now. Taking lines away hardly ever helps a comb, so only bids
 * that still look best are judged anew.
 */
function bestBid(pool: readonly Bid[], context: SearchContext, round: number, log10Claim: number): Bid | null {
  for (;;) {
    let best: Bid | null = null;
    for (const bid of pool) if (bid.comb.log10Chance < (best === null ? log10Claim : best.comb.log10Chance)) best = bid;
    if (best === null || best.round === round) return best;
    best.comb = supportComb(context, best.range.scope, best.comb.fit.fundamentalHz, best.comb.fit.sigmaHz);
    best.round = round;
  }
}

/** Gives up, weakest first, every comb that is not supported by lines the others leave; changes the list. */
export function dropUnneeded(input: SelectionInput, accepted: AcceptedComb[], log10Claim: number): void {
  const order = [...accepted].sort((a, b) => b.comb.log10Support - a.comb.log10Support);
  for (const candidate of order) {
    if (candidate.onLinesOfOther === true) continue;
    const others = accepted.filter((comb) => comb !== candidate);
    const context = contextOf(input, unexplainedLines(input, others));
    const again = supportComb(context, candidate.scope, candidate.comb.fit.fundamentalHz, candidate.comb.fit.sigmaHz);
    if (again.log10Chance >= log10Claim) accepted.splice(accepted.indexOf(candidate), 1);
  }
}
