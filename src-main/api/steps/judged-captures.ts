import type { JudgedCapture } from '../../engine/judge-build.ts';
import { decisionsOn } from '../../model/decision.ts';
import type { StoredCapture } from '../../register/capture-store.ts';
import type { ApiParts } from '../api-parts.ts';
import { meaningOf } from './calibrated-trace.ts';
import { freshTriages, triagedTrace } from './take-triage.ts';

/** Captures with fresh triages, as judging takes them; what is stale or missing is computed first. Those of no state are left out. */
export async function judgedCaptures(
  parts: ApiParts,
  captures: readonly StoredCapture[],
  jobId: string,
  onProgress: (fraction: number, step: string) => void,
): Promise<JudgedCapture[]> {
  const kept = await freshTriages(parts, captures, jobId, onProgress);
  const { register } = parts.session;
  const decisions = register.decisions.list();
  return captures.flatMap((capture, i): JudgedCapture[] => {
    if (capture.stateId === null) return [];
    const point = capture.pointId === null ? null : register.points.get(capture.pointId);
    const triaged = triagedTrace(parts, capture, kept[i]!);
    return [
      {
        captureId: capture.id,
        stateId: capture.stateId,
        point: point === null ? null : { name: point.name, kind: point.kind },
        triaged,
        meaning: meaningOf(register, capture, triaged),
        decisions: decisionsOn(capture.id, decisions),
      },
    ];
  });
}
