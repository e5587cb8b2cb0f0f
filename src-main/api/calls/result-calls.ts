import type { Api, TriageView } from '../contract.ts';
import type { ApiParts } from '../api-parts.ts';
import type { KeptTriage } from '../session.ts';
import { chainDoubt } from '../steps/chain-doubt.ts';
import { runComparison } from '../steps/run-comparison.ts';
import { freshTriage, runTriage } from '../steps/take-triage.ts';

type ResultCalls = Pick<Api, 'triageRun' | 'triageGet' | 'compareRun' | 'cancel'>;

export function resultCalls(parts: ApiParts): ResultCalls {
  const { session, jobs } = parts;
  const progressOf =
    (jobId: string) =>
    (fraction: number, step: string): void =>
      session.settings.emit('progress', { jobId, fraction, step });

  return {
    async triageRun({ captureId, jobId }) {
      const kept = await runTriage(parts, session.register.captures.get(captureId), jobId, progressOf(jobId));
      session.changed(['triage']);
      return view(parts, captureId, kept);
    },
    triageGet({ captureId }) {
      const kept = freshTriage(parts, session.register.captures.get(captureId));
      return Promise.resolve(kept === null ? null : view(parts, captureId, kept));
    },
    async compareRun(asked) {
      const { beforeCaptureIds, afterCaptureIds, jobId } = asked;
      const { comparison, sentence, warnings } = await runComparison(parts, asked, progressOf(jobId));
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

function view(parts: ApiParts, captureId: number, { traceIndex, triage }: KeptTriage): TriageView {
  const { floor, settings, spurs, explanations, combs, notSeen, below, families, spreads, warnings } = triage;
  const chain = chainDoubt(parts.session, captureId, traceIndex, spurs);
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
    ...(chain === null ? {} : { chain }),
    warnings,
  };
}
