import type { Candidate, LineExplanation } from '../../model/attribution.ts';
import type { Comb } from '../../model/comb.ts';
import type { Spur } from '../../model/spur.ts';

/** A comb with its lines: what can be followed from capture to capture. */
export interface CombView {
  readonly comb: Comb;
  /** Register entries that could own it; none for a comb the register does not know. */
  readonly owners: readonly string[];
  /** Lines that are given to this comb before any other: harmonic → index of the spur. */
  readonly lines: ReadonlyMap<number, number>;
}

/** Candidates of other fits of one comb lie no farther from it. A source that wandered has two fits that differ by less. */
const SAME_COMB = 1e-3;

/** Index of the comb that a candidate belongs to; −1 where none. */
export function combOfCandidate(candidate: Candidate, combs: readonly Comb[]): number {
  const fundamentalHz = candidate.predictedHz / candidate.harmonic;
  let best = -1;
  let nearest = SAME_COMB;
  combs.forEach((comb, c) => {
    const fits =
      candidate.source === null
        ? comb.source === null
        : comb.source === candidate.source || comb.couldAlsoBe.includes(candidate.source);
    const distance = Math.abs(comb.fundamentalHz / fundamentalHz - 1);
    if (fits && distance < nearest) [best, nearest] = [c, distance];
  });
  return best;
}

/** Causes whose best candidate owns the line. */
const OWNED = new Set<LineExplanation['cause']>(['source', 'ambiguous', 'unknown-comb']);

/** The combs of a triage, each with the lines that are its own. */
export function combViews(
  combs: readonly Comb[],
  explanations: readonly LineExplanation[],
  spurs: readonly Spur[],
): CombView[] {
  const lines = combs.map(() => new Map<number, number>());
  explanations.forEach(({ cause, candidates }, i) => {
    const best = candidates[0];
    if (best === undefined || !OWNED.has(cause)) return;
    const c = combOfCandidate(best, combs);
    if (c < 0) return;
    const known = lines[c]!.get(best.harmonic);
    // two lines at one tooth: the nearer one is it
    const miss = (spur: number) => Math.abs(spurs[spur]!.frequencyHz - best.predictedHz);
    if (known === undefined || miss(i) < miss(known)) lines[c]!.set(best.harmonic, i);
  });
  return combs.map((comb, c) => ({
    comb,
    owners: comb.source === null ? comb.couldAlsoBe : [comb.source],
    lines: lines[c]!,
  }));
}
