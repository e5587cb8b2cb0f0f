import { driftsOf, usefulReferences, weighCapture } from '../api/steps/weigh-captures.ts';
import type { DriftEstimate } from '../model/evidence.ts';
import type { TriagedTrace } from '../model/triaged-trace.ts';
import type { TriagedCapture } from '../report/triage-document.ts';
import { columnToDecibels } from '../units/levels.ts';
import { conditionFor } from './match-conditions.ts';
import type { Run } from './triage-command.ts';

/** True where some capture of the call, or of its register, can say something of another: then all must be there first. */
export function waitingFor(files: readonly string[], run: Run): boolean {
  const named = files.map((file) => ({ file, condition: conditionFor(run.tables.conditions ?? [], file) }));
  const kept = run.keeper?.others() ?? [];
  return (
    kept.length > 0 ||
    named.some((subject) =>
      usefulReferences(
        subject,
        named.filter((other) => other !== subject),
        run.sources,
      ).some(() => true),
    )
  );
}

/** A capture with what its own role and the known bands say, no other capture being there to say more. */
export function weighAlone(triaged: TriagedCapture): TriagedCapture {
  return { ...triaged, weighed: weighCapture(triagedTrace(triaged), [], triaged.sources) };
}

/**
 * Every capture weighed against the others of the call and, where a register is open, against those it holds from the same measuring
 * point; with the decisions that the register keeps for it. Drifts over all captures of the call and register.
 */
export function weighTogether(
  captures: readonly TriagedCapture[],
  { keeper, sources, collected }: Run,
): { captures: TriagedCapture[]; drifts: DriftEstimate[] } {
  const sums = new Set(captures.map(({ capture }) => capture.sha256));
  const kept = (keeper?.others() ?? []).filter(({ sha256 }) => !sums.has(sha256));
  const own = captures.map(triagedTrace);
  const loaded = new Map<string, TriagedTrace | null>();
  const load = (place: number): TriagedTrace[] => {
    const { sha256, file, load: loadTrace } = kept[place]!;
    if (!loaded.has(sha256)) loaded.set(sha256, collected.attempt(file, loadTrace));
    const triaged = loaded.get(sha256) ?? null;
    return triaged === null ? [] : [triaged];
  };
  const weighed = captures.map((triaged, i): TriagedCapture => {
    const subject = own[i]!;
    const fromRegister = usefulReferences(subject, kept, sources).flatMap(load);
    const result = collected.attempt(triaged.capture.file, () =>
      weighCapture(subject, [...own.filter((other) => other !== subject), ...fromRegister], sources),
    );
    if (result === null) return triaged;
    const decisions = keeper?.standings(triaged.capture.sha256, triaged.triage.spurs, result.explanations);
    return { ...triaged, weighed: result, decisions };
  });
  const others = [...loaded.values()].filter((triaged) => triaged !== null);
  return { captures: weighed, drifts: driftsOf([...own, ...others], sources) };
}

/** A capture as a comparison takes it. */
export function triagedTrace({ capture, trace, triage, condition }: TriagedCapture): TriagedTrace {
  return { trace, levelDb: columnToDecibels(trace.level, trace.unit), triage, condition, file: capture.file };
}
