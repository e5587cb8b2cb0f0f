import type { SourceEntry, TriageView } from '../../src-main/api/contract.ts';
import { plural } from './format.ts';

/** The one sentence over the source table: who paints the most lines here, and what nobody owns. */
export function sourceSentence(sources: readonly SourceEntry[], triage: TriageView | null): string {
  if (sources.length === 0) return 'No source is entered yet.';
  if (triage === null)
    return `${plural(sources.length, 'source')} entered; open a capture to see which of them it shows.`;
  const known = triage.combs.filter((comb) => comb.source !== null);
  const unknown = triage.combs.length - known.length;
  const most = known.toSorted((a, b) => b.harmonicsSeen.length - a.harmonicsSeen.length)[0];
  const tail = unknown === 0 ? '' : ` ${plural(unknown, 'comb')} ${unknown === 1 ? 'has' : 'have'} no owner.`;
  if (most === undefined) return `None of the ${plural(sources.length, 'source')} is seen in this capture.${tail}`;
  return `${most.source} shows the most teeth: ${most.harmonicsSeen.length} of ${most.harmonicsExpected.length} expected.${tail}`;
}
