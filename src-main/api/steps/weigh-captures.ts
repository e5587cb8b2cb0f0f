import { estimateDrifts, weighEvidence } from '../../engine/weigh-evidence.ts';
import { chooseReferences } from '../../engine/evidence/choose-references.ts';
import type { Condition } from '../../model/condition.ts';
import type { DriftEstimate, ReferenceUse, WeighedTriage } from '../../model/evidence.ts';
import { DEFAULT_EVIDENCE_SETTINGS } from '../../model/evidence-settings.ts';
import type { Source } from '../../model/source.ts';
import type { TriagedTrace } from '../../model/triaged-trace.ts';

/** A capture before its trace is loaded. */
export interface NamedCondition {
  readonly file: string;
  readonly condition: Condition | null;
}

/**
 * Which other captures can say something of one, as places in `others`: known from the conditions alone, so that traces which
 * cannot help need not be loaded.
 */
export function usefulReferences(
  subject: NamedCondition,
  others: readonly NamedCondition[],
  sources: readonly Source[],
): number[] {
  return choicesOf(subject, others, sources).flatMap(({ as }, i) => (as === 'none' ? [] : [i]));
}

/** The others, that can say nothing of it, each with the reason. */
export function uselessReferences(
  subject: NamedCondition,
  others: readonly NamedCondition[],
  sources: readonly Source[],
): ReferenceUse[] {
  return choicesOf(subject, others, sources).flatMap(({ as, why }, i) =>
    as === 'none' ? [{ file: others[i]!.file, as, why }] : [],
  );
}

function choicesOf(subject: NamedCondition, others: readonly NamedCondition[], sources: readonly Source[]) {
  return chooseReferences(subject, others, sources, DEFAULT_EVIDENCE_SETTINGS.driftRangeC);
}

/** One capture weighed against others, at the default settings. */
export function weighCapture(
  subject: TriagedTrace,
  others: readonly TriagedTrace[],
  sources: readonly Source[],
): WeighedTriage {
  return weighEvidence({ subject, others, sources, settings: DEFAULT_EVIDENCE_SETTINGS });
}

/** Drifts over captures at several temperatures, at the default settings. */
export function driftsOf(captures: readonly TriagedTrace[], sources: readonly Source[]): DriftEstimate[] {
  return estimateDrifts(captures, sources, DEFAULT_EVIDENCE_SETTINGS);
}
