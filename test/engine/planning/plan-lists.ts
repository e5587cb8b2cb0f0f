import type { Band } from '../../../src-main/model/band.ts';
import { DEFAULT_PLAN_SETTINGS, type PlanSettings } from '../../../src-main/model/plan.ts';
import type { Source } from '../../../src-main/model/source.ts';

/** A converter without tolerance: what it costs has a closed form. */
export function aSource(designator: string, nominalHz: number, change: Partial<Source> = {}): Source {
  return {
    designator,
    kind: 'converter',
    nominalHz,
    tolerancePpm: 0,
    driftPpmPerK: null,
    spreadPpm: null,
    lock: null,
    duty: null,
    riseS: null,
    maxHarmonic: null,
    adjust: null,
    fedBy: null,
    owner: 'ours',
    serial: '',
    notes: '',
    ...change,
  };
}

export function aBand(lowHz: number, highHz: number, channelHz: number | null, change: Partial<Band> = {}): Band {
  return {
    name: 'band',
    lowHz,
    highHz,
    channelHz,
    channelOriginHz: null,
    allowedOverFloorDb: null,
    allowedLevel: null,
    allowedUnit: null,
    weight: 1,
    sampleRateHz: null,
    localOscillatorHz: null,
    ...change,
  };
}

export const adjustable = (lowHz: number, highHz: number, stepHz: number | null) => ({
  adjust: { lowHz, highHz, stepHz },
});

export const settings = (change: Partial<PlanSettings> = {}): PlanSettings => ({
  ...DEFAULT_PLAN_SETTINGS,
  draws: 20,
  effort: 60,
  proofEffort: 60,
  ...change,
});
