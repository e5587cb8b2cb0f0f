import type { AcceptedComb } from './selection.ts';
import type { SourceRange } from './source-scopes.ts';

/** Fundamentals this many standard deviations from where a lock puts them are not that source's. */
const LOCK_SIGMA = 5;

/**
 * Which register entries could own each comb.
 *
 * An entry can own a comb whose fundamental lies in its range, and one comb at most. Where that leaves one entry, the comb is its own;
 * where two or more remain the data cannot choose between them by frequency, and all are named. Where every comb of the capture
 * can have an owner of its own, an entry is left out for a comb if giving it that comb would leave another comb without any. A comb
 * that another source's half-frequency lines explain needs no owner, and leaves an entry to its other comb.
 *
 * @returns for each comb the indices of possible owners, nearest to nominal (in units of its tolerance) first
 */
export function possibleOwners(combs: readonly AcceptedComb[], ranges: readonly SourceRange[]): number[][] {
  const fits = combs.map((comb) => ranges.flatMap((range, s) => (inside(comb, range) ? [s] : [])));
  const needy = fits.map((sources, c) => (isExplained(combs[c]!) ? [] : sources));
  const most = largestMatching(needy, ranges.length, null);
  // a comb without owner proves that something unregistered runs here: then any comb may be that, and nothing follows by exclusion
  const complete = most === combs.filter((comb) => !isExplained(comb)).length;
  const owners = fits.map((sources, c) => {
    if (isExplained(combs[c]!)) return sources.filter((s) => !needy.some((others) => others.includes(s)));
    return complete
      ? sources.filter((s) => largestMatching(needy, ranges.length, { comb: c, source: s }) === most)
      : [...sources];
  });
  applyLocks(combs, ranges, owners);
  for (const [c, sources] of owners.entries()) {
    const fundamentalHz = combs[c]!.comb.fit.fundamentalHz;
    const distance = (s: number): number => {
      const range = ranges[s]!;
      return Math.abs(fundamentalHz - range.nominalHz) / Math.max(range.scope.highHz - range.nominalHz, 1e-9);
    };
    sources.sort((a, b) => distance(a) - distance(b));
  }
  return owners;
}

/** Its odd lines are another source's lines at half its frequency. */
export function isExplained({ halfOf }: AcceptedComb): boolean {
  return halfOf !== undefined;
}

function inside({ comb }: AcceptedComb, range: SourceRange): boolean {
  const f = comb.fit.fundamentalHz;
  const slack = 3 * comb.fit.sigmaHz;
  return f >= range.scope.lowHz - slack && f <= range.scope.highHz + slack;
}

/** A source locked to one whose comb is known has no freedom: other combs are not its own, nor is it any other comb's owner. */
function applyLocks(combs: readonly AcceptedComb[], ranges: readonly SourceRange[], owners: number[][]): void {
  const settled = new Map<string, { rootHz: number; sigmaHz: number; comb: number }>();
  for (const [c, sources] of owners.entries()) {
    if (sources.length !== 1) continue;
    const range = ranges[sources[0]!]!;
    const { fundamentalHz, sigmaHz } = combs[c]!.comb.fit;
    const entry = { rootHz: fundamentalHz / range.ratio, sigmaHz: sigmaHz / range.ratio, comb: c };
    const other = settled.get(range.root);
    if (other === undefined || entry.sigmaHz < other.sigmaHz) settled.set(range.root, entry);
  }
  for (const [c, sources] of owners.entries()) {
    if (sources.length < 2) continue;
    const { fundamentalHz, sigmaHz } = combs[c]!.comb.fit;
    const kept = sources.filter((s) => {
      const range = ranges[s]!;
      const root = settled.get(range.root);
      if (root === undefined || root.comb === c) return true;
      const error = Math.hypot(sigmaHz, root.sigmaHz * range.ratio);
      return Math.abs(fundamentalHz - root.rootHz * range.ratio) <= LOCK_SIGMA * error;
    });
    if (kept.length > 0) owners[c] = kept;
  }
}

/** Size of the largest assignment of combs to sources (augmenting paths), with one pair fixed where asked. */
function largestMatching(
  fits: readonly (readonly number[])[],
  sources: number,
  fixed: { comb: number; source: number } | null,
): number {
  const ownerOf = new Int32Array(sources).fill(-1);
  let size = 0;
  if (fixed !== null) {
    ownerOf[fixed.source] = fixed.comb;
    size = 1;
  }
  const augment = (c: number, visited: Uint8Array): boolean => {
    for (const s of fits[c]!) {
      if (visited[s] === 1 || (fixed !== null && s === fixed.source)) continue;
      visited[s] = 1;
      if (ownerOf[s] === -1 || augment(ownerOf[s]!, visited)) {
        ownerOf[s] = c;
        return true;
      }
    }
    return false;
  };
  for (let c = 0; c < fits.length; c++) if (c !== fixed?.comb && augment(c, new Uint8Array(sources))) size++;
  return size;
}

/** Two fits of one source differ by less than this: more than any drift within a sweep. See LARGEST_DRIFT of the comb fit. */
const WANDER = 1e-3;
/** Share of a fit's lines that may stand beside lines of the other fit at the same harmonics. */
const SIDE_BY_SIDE = 0.2;

/**
 * A source that wanders unevenly during one sweep can take two fits: each explains a part of its teeth. Such fits have one and the
 * same only owner, nearly one fundamental, and hardly ever two different lines at one harmonic.
 *
 * @returns for each comb the index of the better-supported comb it is part of, or its own
 */
export function partsOfOneSource(combs: readonly AcceptedComb[], owners: readonly (readonly number[])[]): number[] {
  const order = combs.map((_, c) => c).sort((a, b) => combs[a]!.comb.log10Chance - combs[b]!.comb.log10Chance);
  const partOf = combs.map((_, c) => c);
  for (const [place, d] of order.entries())
    for (const c of order.slice(0, place)) {
      if (partOf[c] !== c || owners[c]!.length !== 1 || owners[d]!.length !== 1 || owners[c]![0] !== owners[d]![0])
        continue;
      const [main, part] = [combs[c]!.comb, combs[d]!.comb];
      if (Math.abs(main.fit.fundamentalHz / part.fit.fundamentalHz - 1) > WANDER) continue;
      let lines = 0;
      let beside = 0;
      for (const [j, line] of part.matches.entries()) {
        if (line < 0) continue;
        lines++;
        const other = main.matches[j + part.firstHarmonic - main.firstHarmonic] ?? -1;
        if (other >= 0 && other !== line) beside++;
      }
      if (beside <= SIDE_BY_SIDE * lines) partOf[d] = c;
    }
  return partOf;
}
