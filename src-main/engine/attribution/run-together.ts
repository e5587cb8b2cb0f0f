import { predictHz } from './comb-fit.ts';
import { isSeenAround, MISSING } from './comb-support.ts';
import type { LineTable } from './line-table.ts';
import type { AcceptedComb } from './selection.ts';
import { lowerBound } from '../numeric/lower-bound.ts';

/** A tooth this close to a line, in resolution bandwidths, cannot show a peak of its own. A choice of this tool. */
const TOO_CLOSE = 0.75;

/**
 * Teeth of a comb that show no line of their own because another line stands too close: the two have run into one, whose peak
 * lies between them. Only where the comb is seen around. What is left of such pairs would look like a second comb beside the first.
 *
 * @returns line index and harmonic of each
 */
export function runTogether(
  lines: LineTable,
  { comb }: Pick<AcceptedComb, 'comb'>,
): { readonly line: number; readonly harmonic: number }[] {
  const out: { line: number; harmonic: number }[] = [];
  const reachHz = TOO_CLOSE * lines.resolutionHz;
  for (let j = 0; j < comb.matches.length; j++) {
    const match = comb.matches[j]!;
    if (match >= 0 || !isSeenAround(comb.matches, j)) continue;
    const x = predictHz(comb.fit, comb.firstHarmonic + j);
    const near = lowerBound(lines.frequencyHz, x);
    let best = MISSING;
    for (let i = Math.max(0, near - 1); i <= Math.min(lines.count - 1, near); i++) {
      const apartHz = Math.abs(lines.frequencyHz[i]! - x);
      if (apartHz <= reachHz && (best < 0 || apartHz < Math.abs(lines.frequencyHz[best]! - x))) best = i;
    }
    if (best >= 0) out.push({ line: best, harmonic: comb.firstHarmonic + j });
  }
  return out;
}
