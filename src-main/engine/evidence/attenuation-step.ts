import { applyCondition } from '../../model/apply-condition.ts';
import type { CaptureSettings } from '../../model/capture.ts';
import type { Condition } from '../../model/condition.ts';

export interface AttenuationOf {
  readonly settings: CaptureSettings;
  readonly condition: Condition | null;
}

/** How far attenuation differs between two captures, there minus here, and what was stated of the correction; null where nobody said. */
export function attenuationStep(
  here: AttenuationOf,
  there: AttenuationOf,
): { readonly stepDb: number; readonly stated: boolean | null; readonly assumedZero: boolean } | null {
  const kindOf = ({ condition }: AttenuationOf) => condition?.attenuator ?? null;
  const [kindHere, kindThere] = [kindOf(here), kindOf(there)];
  const isPad = (kind: ReturnType<typeof kindOf>) => kind === 'external' || kind === 'external-corrected';
  const kind = kindThere ?? kindHere;
  const stated = kind === null ? null : kind !== 'external';
  if (isPad(kindHere) || isPad(kindThere)) {
    // a pad's figure is its own; the analyser's attenuator must not have moved unseen
    const pad = (from: AttenuationOf) => (isPad(kindOf(from)) ? (from.condition?.attenuationDb ?? null) : 0);
    const [a, b] = [pad(here), pad(there)];
    if (a === null || b === null || a === b) return null;
    return { stepDb: b - a, stated, assumedZero: false };
  }
  const [a, b] = [here, there].map(({ settings, condition }) => applyCondition(settings, condition).attenuationDb);
  if (b == null || b === a) {
    if (a == null || a === b) return null;
    return { stepDb: 0 - a, stated, assumedZero: true };
  }
  return { stepDb: b - (a ?? 0), stated, assumedZero: a == null };
}
