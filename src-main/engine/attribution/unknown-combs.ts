import type { SearchScope } from './comb-support.ts';
import { guessesFrom, rankGuesses, refineBest, strongestLines, type Guess } from './comb-search.ts';
import { contextOf, unexplainedLines, type AcceptedComb, type SelectionInput } from './selection.ts';

/** Lines that start a search; the strongest, since a comb's strong lines are rarely all missing. */
const STARTING_LINES = 80;
/** A comb of fewer lines is not worth a name of its own. A choice of this tool. */
const FEWEST_LINES = 4;
/** Unknown combs looked for in one capture. */
const MOST_COMBS = 16;

/** The search for a comb without a register entry: any fundamental that the resolution can tell and the span holds. */
export function unknownScope({ spanHighHz }: SelectionInput, lowestHz: number): SearchScope {
  return { lowHz: lowestHz, highHz: spanHighHz, maxHarmonic: Infinity, entries: 1, mayDrift: true };
}

/**
 * Combs that no register entry accounts for, found among the lines that nothing explains, best first.
 *
 * Every strong line over every harmonic number it could be is tried as a fundamental; the best are refined and judged with
 * the whole search counted in (every line × every harmonic). Sub-multiples fall by the same rule as for sources: places
 * that are not multiples of a small prime must stand by themselves.
 */
export function findUnknownCombs(
  input: SelectionInput,
  known: readonly AcceptedComb[],
  lowestHz: number,
): AcceptedComb[] {
  const accepted: AcceptedComb[] = [];
  const scope = unknownScope(input, lowestHz);
  const claim = Math.log10(input.claimChance);
  let guesses: Guess[] | null = null;
  for (let round = 0; round < MOST_COMBS; round++) {
    const context = contextOf(input, unexplainedLines(input, [...known, ...accepted]));
    guesses ??= guessesFrom(context, scope, strongestLines(context, input.lines.frequencyHz.keys(), STARTING_LINES));
    // what looked hopeless with all lines in place does not improve when lines are taken away
    guesses = rankGuesses(context, guesses);
    const best = refineBest(context, scope, guesses, claim);
    if (best === null) break;
    let seen = 0;
    for (const line of best.matches) if (line >= 0) seen++;
    if (seen < FEWEST_LINES) break;
    accepted.push({ comb: best, scope, found: null });
  }
  return accepted;
}
