import { decidedTriage } from '../../engine/evidence/decided-explanations.ts';
import { decisionsOn } from '../../model/decision.ts';
import type { ClearedEarlier } from '../../model/track.ts';
import type { ComparedCaptures } from '../../report/compare-document.ts';
import type { StoredCapture } from '../../register/capture-store.ts';
import { Refused } from '../api-problem.ts';
import type { ApiParts } from '../api-parts.ts';
import { sideChainDoubt } from './chain-doubt.ts';
import { compareInput, comparedCaptures } from './compare-captures.ts';
import { earlierStates, sourcesMeant } from './state-line.ts';
import { freshTriages, sourcesOf, triagedTrace } from './take-triage.ts';

type Progress = (fraction: number, step: string) => void;

export interface ComparisonAsked {
  readonly beforeCaptureIds: readonly number[];
  readonly afterCaptureIds: readonly number[];
  readonly jobId: string;
  readonly repeats?: 'sweep-to-sweep' | 're-rigged' | undefined;
}

/**
 * Holds captures against captures, with what earlier steps cleared: what the page shows and what is exported are this one result.
 *
 * @throws Refused where a capture is on both sides
 */
export async function runComparison(
  parts: ApiParts,
  { beforeCaptureIds, afterCaptureIds, jobId, repeats }: ComparisonAsked,
  onProgress: Progress,
): Promise<ComparedCaptures> {
  const { register } = parts.session;
  const both = beforeCaptureIds.find((id) => afterCaptureIds.includes(id));
  if (both !== undefined)
    throw new Refused(`${register.captures.get(both).file} is on both sides; a capture is either before or after.`);
  const [before, after] = [beforeCaptureIds, afterCaptureIds].map((ids) =>
    ids.map((id) => register.captures.get(id)),
  ) as [StoredCapture[], StoredCapture[]];
  const clearedEarlier = await clearedBefore(parts, before, jobId);
  const { sides, comparison } = await compared(parts, { before, after, clearedEarlier, jobId, repeats }, onProgress);
  const meant = sourcesMeant(before[0]!.stateId, after[0]!.stateId, register.states.list(), register.fixes.list());
  const result = comparedCaptures(sides, comparison, meant);
  const { session } = parts;
  return {
    ...result,
    before: { ...result.before, ...sideChainDoubt(session, before, comparison.beforeSpurs) },
    after: { ...result.after, ...sideChainDoubt(session, after, comparison.afterSpurs) },
  };
}

/** Each capture with a fresh triage and what was decided of its lines. */
async function triaged(parts: ApiParts, captures: readonly StoredCapture[], jobId: string, onProgress: Progress) {
  const kept = await freshTriages(parts, captures, jobId, onProgress);
  const decisions = parts.session.register.decisions.list();
  const sources = sourcesOf(parts);
  return captures.map((capture, i) =>
    decidedTriage(triagedTrace(parts, capture, kept[i]!), decisionsOn(capture.id, decisions), sources),
  );
}

interface Sides {
  readonly before: readonly StoredCapture[];
  readonly after: readonly StoredCapture[];
  readonly clearedEarlier: readonly ClearedEarlier[];
  readonly jobId: string;
  readonly repeats?: ComparisonAsked['repeats'];
}

async function compared(
  parts: ApiParts,
  { before, after, clearedEarlier, jobId, repeats }: Sides,
  onProgress: Progress,
) {
  const all = await triaged(parts, [...before, ...after], jobId, (fraction, step) => onProgress(0.7 * fraction, step));
  const sides = { before: all.slice(0, before.length), after: all.slice(before.length) };
  const input = compareInput({
    ...sides,
    sources: sourcesOf(parts),
    bands: parts.session.register.bands.list(),
    clearedEarlier,
    repeats,
  });
  const comparison = await parts.jobs.run('compare', input, {
    jobId,
    onProgress: (fraction, step) => onProgress(0.7 + 0.3 * fraction, step),
  });
  return { sides, comparison };
}

/** Lines that steps before this one cleared, at the same measuring point: seen again they are `back`. */
async function clearedBefore(
  parts: ApiParts,
  before: readonly StoredCapture[],
  jobId: string,
): Promise<ClearedEarlier[]> {
  const { register } = parts.session;
  const line = earlierStates(before[0]?.stateId ?? null, register.states.list());
  const ofState = (stateId: number) =>
    register.captures
      .list()
      .filter(
        (capture) =>
          capture.stateId === stateId && capture.pointId === before[0]!.pointId && capture.condition.role === 'item',
      );
  const cleared: ClearedEarlier[] = [];
  for (let i = 1; i < line.length; i++) {
    const [earlier, later] = [ofState(line[i - 1]!.id), ofState(line[i]!.id)];
    if (earlier.length === 0 || later.length === 0) continue;
    const { comparison } = await compared(
      parts,
      { before: earlier, after: later, clearedEarlier: [], jobId },
      () => undefined,
    );
    for (const { status, source, harmonic, beforeSpur } of comparison.tracks) {
      if (status !== 'cleared' || beforeSpur === null) continue;
      cleared.push({ source, harmonic, frequencyHz: comparison.beforeSpurs[beforeSpur]!.frequencyHz });
    }
  }
  return cleared;
}
