import { DEFAULT_TRIAGE_SETTINGS } from '../../model/triage-settings.ts';
import type { TriagedTrace } from '../../model/triaged-trace.ts';
import { columnToDecibels } from '../../units/levels.ts';
import type { ApiParts } from '../api-parts.ts';
import type { StoredCapture } from '../../register/capture-store.ts';
import type { KeptTriage } from '../session.ts';
import { computedOf, triageKey } from '../triage-key.ts';
import { chainOf, tablesOf } from './calibrated-trace.ts';

/** The sources as they are now. */
export function sourcesOf({ session }: ApiParts) {
  return session.register.sources.list().map(({ source }) => source);
}

/** The fingerprint that a triage of this capture would have now. */
export function presentBasis(parts: ApiParts, capture: StoredCapture): string {
  const { sha256, traceIndex, condition } = capture;
  const sources = sourcesOf(parts);
  const calibration = tablesOf(parts.session.register, capture.calibration);
  const computed = computedOf(capture.traces[traceIndex]?.settings);
  const settings = DEFAULT_TRIAGE_SETTINGS;
  const bands = parts.session.register.bands.list();
  const inputs = { sha256, traceIndex, condition, sources, settings, calibration, computed, bands };
  return triageKey(inputs, parts.about.version);
}

/** The kept triage of a capture where nothing it rests on has changed since; else null. */
export function freshTriage(parts: ApiParts, capture: StoredCapture): KeptTriage | null {
  const kept = parts.session.triage(capture);
  return kept !== null && kept.basis === presentBasis(parts, capture) ? kept : null;
}

/** Runs a triage in a worker and keeps it. Kept under what it was computed from, also where that changed meanwhile. */
export async function runTriage(
  parts: ApiParts,
  capture: StoredCapture,
  jobId: string,
  onProgress: (fraction: number, step: string) => void,
): Promise<KeptTriage> {
  const { session, jobs } = parts;
  const { register } = session;
  const basis = presentBasis(parts, capture);
  const { condition, traceIndex } = capture;
  const trace = session.trace(capture, traceIndex);
  const bands = register.bands.list();
  const input = { trace, sources: sourcesOf(parts), condition, bands, settings: DEFAULT_TRIAGE_SETTINGS };
  const triage = await jobs.run('triage', input, { jobId, onProgress });
  const kept: KeptTriage = { traceIndex, basis, triage };
  // The user may have opened another register or removed the capture while the worker was busy.
  const isStillThere = session.register === register && register.captures.list().some(({ id }) => id === capture.id);
  if (isStillThere && !register.readOnly) session.keepTriage(capture.id, kept);
  return kept;
}

/** The fresh triages of captures, in their order; what is stale or missing is computed first. Progress is told over all, by the file's name. */
export async function freshTriages(
  parts: ApiParts,
  captures: readonly StoredCapture[],
  jobId: string,
  onProgress: (fraction: number, step: string) => void,
): Promise<KeptTriage[]> {
  const out: KeptTriage[] = [];
  for (const [i, capture] of captures.entries()) {
    const progress = (fraction: number) => onProgress((i + fraction) / captures.length, capture.file);
    out.push(freshTriage(parts, capture) ?? (await runTriage(parts, capture, jobId, progress)));
  }
  return out;
}

/** A capture with its triage, as a comparison takes it. */
export function triagedTrace({ session }: ApiParts, capture: StoredCapture, { triage }: KeptTriage): TriagedTrace {
  const { trace, sigmaDb } = session.calibrated(capture, capture.traceIndex);
  return {
    trace,
    levelDb: columnToDecibels(trace.level, trace.unit),
    triage,
    condition: capture.condition,
    file: capture.file,
    ...chainOf(tablesOf(session.register, capture.calibration), sigmaDb),
  };
}
