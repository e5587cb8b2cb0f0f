import type { Candidate, LineExplanation } from '../../model/attribution.ts';
import type { SearchContext } from './comb-support.ts';
import type { SourceRange } from './source-scopes.ts';
import { lowerBound } from '../numeric/lower-bound.ts';

/** More accidental hits than this expected in all of an entry's narrow places, and a hit there says nothing. */
const MOST_ACCIDENTS = 0.2;
/** Below this many expected accidents a hit puts another comb's claim on the line in doubt. */
const FEW_ACCIDENTS = 0.02;

/**
 * Entries with a tight tolerance and few harmonics in the span (a crystal with one line, say) rarely reach the claim: one
 * hit is one hit. Where a line lies at such a place it is still told: as a candidate of an unexplained line, with the chance of
 * such a hit, or as a second possible owner of a line that a comb has been given.
 *
 * @param unclaimed entries without a comb @param free context whose coverage counts only unexplained lines
 * @param all context whose coverage counts all: how easily a line that has a comb lies there too
 */
export function addNearNominal(
  explanations: readonly LineExplanation[],
  free: SearchContext,
  all: SearchContext,
  unclaimed: readonly SourceRange[],
): LineExplanation[] {
  const { lines, coverage, matchSigma, spanLowHz, spanHighHz } = free;
  const out = [...explanations];
  for (const range of unclaimed) {
    const { lowHz, highHz, maxHarmonic, entries } = range.scope;
    const first = Math.max(1, Math.ceil(spanLowHz / highHz));
    const last = Math.min(maxHarmonic, Math.floor(spanHighHz / lowHz));
    let accidents = 0;
    let accidentsOfAny = 0;
    const hits: { line: number; harmonic: number }[] = [];
    for (let n = first; n <= last && accidents <= MOST_ACCIDENTS; n++) {
      const middleHz = (n * (lowHz + highHz)) / 2;
      const widthHz = n * (highHz - lowHz);
      accidents += coverage.probabilityAt(middleHz) + coverage.densityAt(middleHz) * widthHz;
      accidentsOfAny += all.coverage.probabilityAt(middleHz) + all.coverage.densityAt(middleHz) * widthHz;
      for (let i = Math.max(0, lowerBound(lines.frequencyHz, n * lowHz) - 2); i < lines.count; i++) {
        const half = matchSigma * lines.sigmaHz[i]!;
        if (lines.frequencyHz[i]! - half > n * highHz) break;
        if (lines.frequencyHz[i]! + half >= n * lowHz) hits.push({ line: i, harmonic: n });
      }
    }
    if (accidents > MOST_ACCIDENTS) continue;
    const chance = Math.min(1, -Math.expm1(-entries * accidents));
    for (const { line, harmonic } of hits) {
      const before = out[line]!;
      const candidate: Candidate = {
        source: range.source.designator,
        harmonic,
        predictedHz: harmonic * range.nominalHz,
        predictedSigmaHz: (harmonic * (highHz - lowHz)) / Math.sqrt(12),
        chance,
      };
      const candidates = [...before.candidates, candidate];
      const name = `${candidate.source}, harmonic ${harmonic}`;
      if (before.cause === 'unexplained')
        out[line] = {
          ...before,
          candidates,
          why: `Lies where ${name}, would be, but a lone hit like this comes by accident in ${share(chance)} captures: not enough to name it.`,
        };
      else if (before.cause === 'source' && accidentsOfAny < FEW_ACCIDENTS)
        out[line] = {
          cause: 'ambiguous',
          candidates,
          why: `${before.why} It also lies within the tolerance of ${name}; frequency cannot choose.`,
        };
      else if (accidentsOfAny <= MOST_ACCIDENTS) out[line] = { ...before, candidates };
    }
  }
  return out;
}

function share(chance: number): string {
  return chance >= 0.5 ? 'most' : `1 in ${Math.round(1 / chance)}`;
}
