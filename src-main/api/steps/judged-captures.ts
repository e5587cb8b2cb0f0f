import type { JudgedCapture } from '../../engine/judge-build.ts';
import type { StoredCapture } from '../../register/capture-store.ts';
import type { Register } from '../../register/register.ts';
import { columnToDecibels } from '../../units/levels.ts';
import type { ApiParts } from '../api-parts.ts';
import { withStatedUnit } from './choose-trace.ts';
import { calibratedTrace, chainOf, largestOf, meaningOf, tablesOf } from './calibrated-trace.ts';
import type { Triage } from '../../model/triage.ts';
import { freshTriage, runTriage } from './take-triage.ts';

/** A capture of the register with its triage, as judging takes it; null where it belongs to no state. */
export function judgedCapture(register: Register, capture: StoredCapture, triage: Triage): JudgedCapture | null {
  if (capture.stateId === null) return null;
  const read = register.captures.trace(capture.id, capture.traceIndex);
  const calibrated = calibratedTrace(register, capture, withStatedUnit(read, capture.condition));
  const { trace } = calibrated;
  const point = capture.pointId === null ? null : register.points.get(capture.pointId);
  return {
    captureId: capture.id,
    stateId: capture.stateId,
    point: point === null ? null : { name: point.name, kind: point.kind },
    triaged: {
      trace,
      levelDb: columnToDecibels(trace.level, trace.unit),
      triage,
      condition: capture.condition,
      file: capture.file,
      ...chainOf(tablesOf(register, capture.calibration), calibrated.sigmaDb),
    },
    meaning: meaningOf(register, capture, calibrated),
    decisions: register.decisions.list().filter(({ captureId }) => captureId === capture.id),
    calibrationSigmaDb: largestOf(calibrated.sigmaDb),
  };
}

/** Captures with fresh triages, as judging takes them; what is stale or missing is computed first. Those of no state are left out. */
export async function judgedCaptures(
  parts: ApiParts,
  captures: readonly StoredCapture[],
  jobId: string,
  onProgress: (fraction: number, step: string) => void,
): Promise<JudgedCapture[]> {
  const out: JudgedCapture[] = [];
  for (const [i, capture] of captures.entries()) {
    const progress = (fraction: number) => onProgress((i + fraction) / captures.length, capture.file);
    const { triage } = freshTriage(parts, capture) ?? (await runTriage(parts, capture, jobId, progress));
    const judged = judgedCapture(parts.session.register, capture, triage);
    if (judged !== null) out.push(judged);
  }
  return out;
}
