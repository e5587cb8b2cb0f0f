import type { CaptureSettings } from '../../../src-main/model/capture.ts';
import type { SweepSetup } from '../simulator/sweep.ts';

/** What a file with a full preamble says of a sweep. */
export function statedSettings(setup: SweepSetup, more: Partial<CaptureSettings> = {}): CaptureSettings {
  return {
    rbwHz: setup.rbwHz,
    rbwShape: '3 dB',
    vbwHz: null,
    averages: setup.sweeps,
    averaging: setup.combine,
    detector: setup.peakLooks > 1 ? 'positive-peak' : 'sample',
    attenuationDb: null,
    gainDb: null,
    sweepTimeS: null,
    referenceLevel: null,
    frequencyAccuracyPpm: null,
    takenAt: null,
    ...more,
  };
}
