import type { ClearedEarlier } from '../../model/track.ts';
import type { Api, TriageView } from '../contract.ts';
import { Refused } from '../api-problem.ts';
import type { ApiParts } from '../api-parts.ts';
import type { StoredCapture } from '../../register/capture-store.ts';
import type { KeptTriage } from '../session.ts';
import { compareInput, comparedCaptures } from '../steps/compare-captures.ts';
import { freshTriage, runTriage, sourcesOf, triagedTrace } from '../steps/take-triage.ts';
import { earlierStates, sourcesMeant } from '../steps/state-line.ts';

type ResultCalls = Pick<Api, 'triageRun' | 'triageGet' | 'compareRun' | 'cancel'>;
type Progress = (fraction: number, step: string) => void;

export function resultCalls(parts: ApiParts): ResultCalls {
  const { session, jobs } = parts;
  const progressOf =
    (jobId: string): Progress =>
    (fraction, step) =>
      session.settings.emit('progress', { jobId, fraction, step });

  /** Each capture with a fresh triage; what is stale or missing is computed first. */
  async function triaged(captures: readonly StoredCapture[], jobId: string, onProgress: Progress) {
    const out: { capture: StoredCapture; kept: KeptTriage }[] = [];
    for (const [i, capture] of captures.entries()) {
      const progress: Progress = (fraction) => onProgress((i + fraction) / captures.length, capture.file);
      const kept = freshTriage(parts, capture) ?? (await runTriage(parts, capture, jobId, progress));
      out.push({ capture, kept });
    }
    return out.map(({ capture, kept }) => triagedTrace(parts, capture, kept));
  }

  async function compared(
    before: readonly StoredCapture[],
    after: readonly StoredCapture[],
    clearedEarlier: readonly ClearedEarlier[],
    jobId: string,
    onProgress: Progress,
    repeats?: 'sweep-to-sweep' | 're-rigged',
  ) {
    const all = await triaged([...before, ...after], jobId, (fraction, step) => onProgress(0.7 * fraction, step));
    const sides = { before: all.slice(0, before.length), after: all.slice(before.length) };
    const { register } = session;
    const input = compareInput({
      ...sides,
      sources: sourcesOf(parts),
      bands: register.bands.list(),
      clearedEarlier,
      repeats,
    });
    const comparison = await jobs.run('compare', input, {
      jobId,
      onProgress: (fraction, step) => onProgress(0.7 + 0.3 * fraction, step),
    });
    return { sides, comparison };
  }

  /** Lines that steps before this one cleared, at the same measuring point: seen again they are `back`. */
  async function clearedBefore(before: readonly StoredCapture[], jobId: string): Promise<ClearedEarlier[]> {
    const { register } = session;
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
      const { comparison } = await compared(earlier, later, [], jobId, () => {});
      for (const { status, source, harmonic, beforeSpur } of comparison.tracks) {
        if (status !== 'cleared' || beforeSpur === null) continue;
        cleared.push({ source, harmonic, frequencyHz: comparison.beforeSpurs[beforeSpur]!.frequencyHz });
      }
    }
    return cleared;
  }

  return {
    async triageRun({ captureId, jobId }) {
      const kept = await runTriage(parts, session.register.captures.get(captureId), jobId, progressOf(jobId));
      session.changed(['triage']);
      return view(captureId, kept);
    },
    triageGet({ captureId }) {
      const kept = freshTriage(parts, session.register.captures.get(captureId));
      return Promise.resolve(kept === null ? null : view(captureId, kept));
    },
    async compareRun({ beforeCaptureIds, afterCaptureIds, jobId, repeats }) {
      const both = beforeCaptureIds.find((id) => afterCaptureIds.includes(id));
      if (both !== undefined) {
        throw new Refused(
          `${session.register.captures.get(both).file} is on both sides; a capture is either before or after.`,
        );
      }
      const [before, after] = [beforeCaptureIds, afterCaptureIds].map((ids) =>
        ids.map((id) => session.register.captures.get(id)),
      ) as [StoredCapture[], StoredCapture[]];
      const clearedEarlier = await clearedBefore(before, jobId);
      const { sides, comparison } = await compared(before, after, clearedEarlier, jobId, progressOf(jobId), repeats);
      const { states, fixes } = session.register;
      const meant = sourcesMeant(before[0]!.stateId, after[0]!.stateId, states.list(), fixes.list());
      const { sentence, warnings } = comparedCaptures(sides, comparison, meant);
      return {
        beforeCaptureIds,
        afterCaptureIds,
        unit: comparison.unit,
        tracks: comparison.tracks,
        beforeSpurs: comparison.beforeSpurs,
        afterSpurs: comparison.afterSpurs,
        beforeExplanations: comparison.beforeExplanations,
        afterExplanations: comparison.afterExplanations,
        sources: comparison.sources,
        warnings: [...warnings, ...comparison.warnings],
        sentence,
      };
    },
    cancel({ jobId }) {
      jobs.cancel(jobId);
      return Promise.resolve();
    },
  };
}

function view(captureId: number, { traceIndex, triage }: KeptTriage): TriageView {
  const { floor, settings, spurs, explanations, combs, notSeen, below, families, spreads, warnings } = triage;
  return {
    captureId,
    traceIndex,
    settings,
    floor: {
      sigmaDb: floor.sigmaDb,
      statistic: floor.statistic,
      averages: floor.averages,
      pointSpreadDb: floor.pointSpreadDb,
      windowPoints: floor.windowPoints,
      falseAlarmsExpected: floor.falseAlarmsExpected,
      weakestDetectableOverFloorDb: floor.weakestDetectableOverFloorDb,
      why: floor.why,
    },
    spurs,
    explanations,
    combs,
    notSeen,
    below: below ?? [],
    families: families ?? [],
    spreads: spreads ?? [],
    warnings,
  };
}
