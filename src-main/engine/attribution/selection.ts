import { measureCoverage } from './coverage.ts';
import { matchHarmonics, type SearchContext, type SearchScope, type SupportedComb } from './comb-support.ts';
import { runTogether } from './run-together.ts';
import type { LineTable } from './line-table.ts';
import type { SourceRange } from './source-scopes.ts';

/** A source that may be hidden in every `multiple`-th line of a comb. */
export interface HiddenSource {
  readonly range: SourceRange;
  readonly multiple: number;
  /** Bound to the comb's own source; else a free one that would show lines at half its frequency too. */
  readonly locked: boolean;
  readonly log10Chance: number;
}

/** A comb taken as present. `found` is the range it was found in; null for a comb without a register entry. */
export interface AcceptedComb {
  readonly comb: SupportedComb;
  readonly scope: SearchScope;
  readonly found: SourceRange | null;
  /** A comb of half the frequency of this source: its odd lines may be that source's half-frequency lines, its even ones are its own. */
  readonly halfOf?: SourceRange;
  /** Sources that may be hidden in every second (third, …) line, with the log10 of the chance that levels alone look so. */
  readonly mayHold?: readonly HiddenSource[];
  /** All lines of this source are lines of another comb too: levels have told it, and it need not stand without them. */
  readonly onLinesOfOther?: boolean;
}

export interface SelectionInput {
  readonly lines: LineTable;
  readonly matchSigma: number;
  readonly claimChance: number;
  readonly spanLowHz: number;
  readonly spanHighHz: number;
  /** The lines that each comb explains, noted when they are first asked for; begin with an empty one. */
  readonly explained: WeakMap<AcceptedComb, readonly number[]>;
}

export function contextOf(input: SelectionInput, active: Uint8Array): SearchContext {
  return {
    lines: input.lines,
    active,
    matchSigma: input.matchSigma,
    spanLowHz: input.spanLowHz,
    spanHighHz: input.spanHighHz,
    coverage: measureCoverage(input.lines, active, input.matchSigma, input.spanLowHz, input.spanHighHz),
  };
}

/**
 * The line nearest to a tooth is taken as explained up to this many standard deviations: errors have wider tails than stated, and what a
 * strong comb leaves behind would look like a second comb beside it. A choice of this tool.
 */
const EXPLAINED_SIGMA = 5;

/** Lines that no comb of the list explains: neither a tooth, nor run together with one. */
export function unexplainedLines(input: SelectionInput, combs: readonly AcceptedComb[]): Uint8Array {
  const active = new Uint8Array(input.lines.count).fill(1);
  for (const accepted of combs) {
    let explained = input.explained.get(accepted);
    if (explained === undefined) input.explained.set(accepted, (explained = explainedBy(input, accepted)));
    for (const line of explained) active[line] = 0;
  }
  return active;
}

function explainedBy(input: SelectionInput, accepted: AcceptedComb): number[] {
  const everything = {
    ...input,
    active: new Uint8Array(input.lines.count).fill(1),
    matchSigma: Math.max(input.matchSigma, EXPLAINED_SIGMA),
  };
  const { matches } = matchHarmonics(everything, accepted.comb.fit, accepted.scope.maxHarmonic);
  return [...[...matches].filter((line) => line >= 0), ...runTogether(input.lines, accepted).map(({ line }) => line)];
}
