import type { Condition } from './condition.ts';

/** The condition of a capture of which nobody said anything. */
export function silentCondition(file: string): Condition {
  return {
    file,
    role: 'item',
    point: null,
    state: null,
    mode: null,
    sourcesOn: null,
    sourcesOff: null,
    temperatureC: null,
    attenuationDb: null,
    unit: null,
    rbwHz: null,
    averages: null,
    averaging: null,
    detector: null,
    gainDb: null,
  };
}
