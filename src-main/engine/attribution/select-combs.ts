import { guessesFrom, rankGuesses, refineBest, relatedGuesses, strongestLines } from './comb-search.ts';
import { supportComb, type SearchContext, type SearchScope, type SupportedComb } from './comb-support.ts';
import { contextOf, unexplainedLines, type AcceptedComb, type SelectionInput } from './selection.ts';
import type { SourceRange } from './source-scopes.ts';
import { stabIntervals } from './stab-intervals.ts';

/** Lines of a claimed comb that a rival fundamental is sought from. */
const CHALLENGING_LINES = 24;
/** How many guesses of one source are carried along; the right one is nearly always the first. */
const GUESSES_KEPT = 8;

/** Fundamentals worth a closer look in one source's range. */
export function guessFundamentals(context: SearchContext, scope: SearchScope): SupportedComb[] {
  const { lines, coverage, spanLowHz, spanHighHz, matchSigma, active } = context;
  const first = Math.max(1, Math.ceil(spanLowHz / scope.highHz));
  const last = Math.min(scope.maxHarmonic, Math.floor(spanHighHz / scope.lowHz));
  if (last < first) return [];
  const weights = new Float64Array(lines.count);
  for (let i = 0; i < lines.count; i++)
    weights[i] = Math.max(0.1, Math.log(0.75 / coverage.probabilityAt(lines.frequencyHz[i]!)));
  // a comb that shows only its first harmonics drowns among accidental matches of the high ones: look there alone too
  const caps = [...new Set([Math.min(last, first + 7), Math.min(last, first + 23), last])];
  const guesses: SupportedComb[] = [];
  for (const cap of caps)
    for (const stab of stabIntervals(lines, active, weights, matchSigma, scope.lowHz, scope.highHz, first, cap, 12)) {
      const comb = supportComb(context, scope, stab.fundamentalHz, 0);
      if (comb.log10Chance < 0) guesses.push(comb);
    }
  guesses.sort((a, b) => a.log10Chance - b.log10Chance);
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
    let pool = ranges.flatMap((range) => guessFundamentals(context, range.scope).map((comb) => ({ range, comb })));
    let taken = 0;
    for (;;) {
      pool = pool.filter(({ comb }) => comb.log10Chance < claim);
      if (pool.length === 0) break;
      const best = pool.reduce((a, b) => (b.comb.log10Chance < a.comb.log10Chance ? b : a));
      const rival = anyScope === null ? null : betterRival(context, best.comb, anyScope, ranges, claim);
      accepted.push(
        rival === null
          ? { comb: best.comb, scope: best.range.scope, found: best.range }
          : { comb: rival, scope: anyScope!, found: null },
      );
      taken++;
      active = unexplainedLines(input, accepted);
      context = contextOf(input, active);
      pool = pool
        .filter((entry) => rival !== null || entry !== best)
        .map(({ range, comb }) => ({
          range,
          comb: supportComb(context, range.scope, comb.fit.fundamentalHz, comb.fit.sigmaHz),
        }));
    }
    const before = accepted.length;
    dropUnneeded(input, accepted, claim);
    active = unexplainedLines(input, accepted);
    if (taken === 0 || (pass > 0 && before !== accepted.length)) break;
  }
  return accepted;
}

/** Gives up, weakest first, every comb that is not supported by lines the others leave; changes the list. */
export function dropUnneeded(input: SelectionInput, accepted: AcceptedComb[], log10Claim: number): void {
  const order = [...accepted].sort((a, b) => b.comb.log10Chance - a.comb.log10Chance);
  for (const candidate of order) {
    if (candidate.onLinesOfOther === true) continue;
    const others = accepted.filter((comb) => comb !== candidate);
    const context = contextOf(input, unexplainedLines(input, others));
    const again = supportComb(context, candidate.scope, candidate.comb.fit.fundamentalHz, candidate.comb.fit.sigmaHz);
    if (again.log10Chance >= log10Claim) accepted.splice(accepted.indexOf(candidate), 1);
  }
}
