import { MASKED, matchHarmonics, supportComb } from './comb-support.ts';
import type { CombFit } from './comb-fit.ts';
import { log10HalfLineChance } from './half-lines.ts';
import { contextOf, unexplainedLines, type AcceptedComb, type SelectionInput } from './selection.ts';
import type { SourceRange } from './source-scopes.ts';
import { linesStandOut } from './stand-out.ts';

/**
 * Where one entry's comb explains all, another entry with lines at half its frequency is thought possible only where these are this
 * little stronger than its own, or weaker. A choice of this tool.
 */
const MAY_HOLD_DB = -2;
/** Highest multiple of a comb at which a source locked to it is looked for. */
const HIGHEST_MULTIPLE = 8;

/**
 * Sources whose every line falls exactly on a finer comb, where only levels can tell.
 *
 * 1. Two-stage converters show lines at odd multiples of half their frequency. To the search that is one comb of half the
 *    frequency. Its even lines are the converter's own where no single wave of half the frequency has such levels (see half-lines),
 *    or where they stand out among the odd ones by signs alone; lines that other combs explain are left out of both.
 * 2. A source locked to a multiple of another has no line of its own place. It is there where its lines stand out.
 *
 * Where that cannot be told, the source is noted as one that may be there too: a locked one always, since it is registered
 * and every line of it would hide here.
 *
 * @returns the combs, those of such sources added
 */
export function findCoincidentSources(
  input: SelectionInput,
  combs: readonly AcceptedComb[],
  ranges: readonly SourceRange[],
): AcceptedComb[] {
  let out = [...combs];
  const claim = Math.log10(input.claimChance);
  const all = contextOf(input, new Uint8Array(input.lines.count).fill(1));
  const replace = (one: AcceptedComb, other: AcceptedComb): void => {
    out = out.map((comb) => (comb === one ? other : comb));
  };
  // several entries may ask the same of one comb
  const chances = new Map<CombFit, number>();
  const halfLineChance = ({ comb: { fit } }: AcceptedComb, matched: ReturnType<typeof matchHarmonics>): number => {
    let known = chances.get(fit);
    if (known === undefined) {
      // lines of other combs tell nothing of this one's levels
      const own = unexplainedLines(
        input,
        combs.filter(({ comb }) => comb.fit !== fit),
      );
      const alone = matched.matches.map((line) => (line >= 0 && own[line] === 0 ? MASKED : line));
      const comb = { ...matched, matches: alone };
      const standing = linesStandOut(input.lines, comb, 2);
      const bySigns = standing?.surely === true ? standing.log10Chance : 0;
      known = Math.min(bySigns, log10HalfLineChance(input.lines, comb));
      chances.set(fit, known);
    }
    return known;
  };
  // a source at a multiple of another such source is asked against that one
  for (const range of [...ranges].sort((a, b) => a.nominalHz - b.nominalHz))
    for (const { accepted, multiple } of basesOf(range, out)) {
      const { fit } = accepted.comb;
      const locked = accepted.found?.root === range.root;
      const siblings = locked ? siblingMultiples(accepted.found, ranges).filter((m) => multiple % m !== 0) : [];
      const matched = matchHarmonics(all, fit, accepted.scope.maxHarmonic);
      const standing = linesStandOut(input.lines, matched, multiple, siblings);
      if (standing === null || (accepted.found !== null && !locked && standing.middleDb < MAY_HOLD_DB)) continue;
      const log10Chance = locked ? standing.log10Chance : halfLineChance(accepted, matched);
      if ((locked && !standing.surely) || log10Chance >= claim) {
        const also = { range, multiple, locked, log10Chance };
        replace(accepted, { ...accepted, mayHold: [...(accepted.mayHold ?? []), also] });
        continue;
      }
      const fundamentalHz = multiple * fit.fundamentalHz;
      const sigmaHz = multiple * fit.sigmaHz;
      const there = out.find(
        ({ comb, found }) =>
          found !== null &&
          Math.abs(comb.fit.fundamentalHz - fundamentalHz) <= 5 * Math.hypot(comb.fit.sigmaHz, sigmaHz),
      );
      if (there === undefined) {
        const context = contextOf(
          input,
          unexplainedLines(
            input,
            out.filter((comb) => comb !== accepted),
          ),
        );
        const comb = supportComb(context, range.scope, fundamentalHz, sigmaHz);
        const worse = Math.max(comb.log10Chance, log10Chance);
        out.push({ comb: { ...comb, log10Chance: worse }, scope: range.scope, found: range, onLinesOfOther: true });
      } else replace(there, { ...there, onLinesOfOther: true });
      if (!locked) replace(accepted, { ...accepted, halfOf: range });
    }
  return out;
}

/** The combs on whose lines a range's source could fall: of those bound to the same oscillator only the nearest. */
function basesOf(
  range: SourceRange,
  combs: readonly AcceptedComb[],
): { readonly accepted: AcceptedComb; readonly multiple: number }[] {
  const bases = combs
    .map((accepted) => ({ accepted, multiple: multipleOf(accepted, range) }))
    .filter(({ multiple }) => multiple >= 2)
    .sort((a, b) => a.multiple - b.multiple);
  const nearestLocked = bases.find(({ accepted }) => accepted.found?.root === range.root);
  return bases.filter((base) => base === nearestLocked || base.accepted.found?.root !== range.root);
}

/** The whole number at which a range's source would fall on a comb's lines exactly; 0 where nothing says that it does. */
function multipleOf({ comb, found }: AcceptedComb, range: SourceRange): number {
  if (found === range) return 0;
  if (found !== null && found.root === range.root) {
    const multiple = Math.round(range.ratio / found.ratio);
    const exact = Math.abs(range.ratio / found.ratio - multiple) < 1e-9 * multiple;
    return exact && multiple >= 2 && multiple <= HIGHEST_MULTIPLE ? multiple : 0;
  }
  const doubleHz = 2 * comb.fit.fundamentalHz;
  const slackHz = 6 * comb.fit.sigmaHz;
  return doubleHz >= range.scope.lowHz - slackHz && doubleHz <= range.scope.highHz + slackHz ? 2 : 0;
}

function siblingMultiples(of: SourceRange, ranges: readonly SourceRange[]): number[] {
  return ranges.flatMap((range) => {
    const multiple = range.root === of.root ? Math.round(range.ratio / of.ratio) : 0;
    return multiple >= 2 && Math.abs(range.ratio / of.ratio - multiple) < 1e-9 * multiple ? [multiple] : [];
  });
}
