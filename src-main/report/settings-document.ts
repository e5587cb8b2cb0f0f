import type { CaptureSettings } from '../model/capture.ts';
import { applyCondition } from '../model/apply-condition.ts';
import type { Condition } from '../model/condition.ts';
import { tolerancePpmOf } from '../model/source-defaults.ts';
import type { Source } from '../model/source.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../model/triage-settings.ts';
import type { Triage } from '../model/triage.ts';

export interface SettingsInput {
  readonly triage: Triage;
  /** Settings as the file states them. */
  readonly fileSettings: CaptureSettings;
  readonly condition: Condition | null;
  readonly sources: readonly Source[];
}

/**
 * Every threshold that a triage used, with where each came from in `origin`:
 * `file`, `conditions`, `default` (of this program), `chosen` (from the data, by the program) or `nobody` (unknown).
 */
export function settingsDocument({ triage, fileSettings, condition, sources }: SettingsInput) {
  const taken = applyCondition(fileSettings, condition);
  const { settings, floor } = triage;
  const statedPpm = taken.frequencyAccuracyPpm;
  return {
    false_alarms_per_capture: settings.falseAlarmsPerCapture,
    false_alarm_probability: floor.falseAlarmProbability,
    noise_statistic: floor.statistic,
    noise_averages: floor.averages,
    noise_spread_db: floor.pointSpreadDb,
    noise_why: floor.why,
    floor_window_points: floor.windowPoints,
    floor_sigma_db: floor.sigmaDb,
    claim_chance: settings.claimChance,
    match_sigma: settings.matchSigma,
    frequency_accuracy_ppm: statedPpm ?? settings.frequencyAccuracyPpm,
    rbw_hz: taken.rbwHz,
    rbw_shape: taken.rbwShape ?? 'unknown',
    vbw_hz: taken.vbwHz,
    averages: taken.averages,
    averaging: taken.averaging,
    detector: taken.detector,
    attenuation_db: taken.attenuationDb,
    gain_db: taken.gainDb,
    ...(taken.gainState == null ? {} : { gain_state: taken.gainState }),
    ...(taken.channelResponse === undefined ? {} : { channel_response: taken.channelResponse }),
    ...(taken.clippedSamples == null ? {} : { clipped_samples: taken.clippedSamples }),
    source_tolerances: sources.map((source) => {
      const { tolerancePpm, stated } = tolerancePpmOf(source);
      return { source: source.designator, tolerance_ppm: tolerancePpm, origin: stated ? 'table' : 'default' };
    }),
    origin: {
      false_alarms_per_capture: byDefault(settings.falseAlarmsPerCapture, 'falseAlarmsPerCapture'),
      floor_window_points: settings.floorWindowPoints === null ? 'chosen' : 'stated',
      claim_chance: byDefault(settings.claimChance, 'claimChance'),
      match_sigma: byDefault(settings.matchSigma, 'matchSigma'),
      frequency_accuracy_ppm:
        statedPpm !== null ? 'file' : byDefault(settings.frequencyAccuracyPpm, 'frequencyAccuracyPpm'),
      rbw_hz: origin(condition?.rbwHz, fileSettings.rbwHz),
      rbw_shape: fileSettings.rbwShape === null ? 'nobody' : 'file',
      vbw_hz: origin(null, fileSettings.vbwHz),
      averages: origin(condition?.averages, fileSettings.averages),
      averaging: origin(condition?.averaging, known(fileSettings.averaging)),
      detector: origin(condition?.detector, known(fileSettings.detector)),
      attenuation_db: origin(condition?.attenuationDb, fileSettings.attenuationDb),
      gain_db: origin(condition?.gainDb, fileSettings.gainDb),
    },
  };
}

function byDefault(value: number, name: keyof typeof DEFAULT_TRIAGE_SETTINGS): 'default' | 'stated' {
  return value === DEFAULT_TRIAGE_SETTINGS[name] ? 'default' : 'stated';
}

function origin(condition: unknown, file: unknown): 'conditions' | 'file' | 'nobody' {
  if (condition !== null && condition !== undefined) return 'conditions';
  return file === null ? 'nobody' : 'file';
}

function known(word: string): string | null {
  return word === 'unknown' ? null : word;
}
