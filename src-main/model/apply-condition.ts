import type { CaptureSettings } from './capture.ts';
import type { Condition } from './condition.ts';

/** Settings of a trace with what a condition row states put over what the file said; where the row is silent the file stands. */
export function applyCondition(settings: CaptureSettings, condition: Condition | null): CaptureSettings {
  if (condition === null) return settings;
  return {
    ...settings,
    rbwHz: condition.rbwHz ?? settings.rbwHz,
    averages: condition.averages ?? settings.averages,
    averaging: condition.averaging ?? settings.averaging,
    detector: condition.detector ?? settings.detector,
    attenuationDb: condition.attenuationDb ?? settings.attenuationDb,
    gainDb: condition.gainDb ?? settings.gainDb,
    ...((condition.gainState ?? null) === null ? {} : { gainState: condition.gainState! }),
    // another RBW is another line
    ...(condition.rbwHz === null ? {} : { computedLine: null }),
  };
}
