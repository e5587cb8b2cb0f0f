import { frequencyUnit } from '../state/format.ts';
import type { FrequencyUnit } from '../state/format.ts';

export interface AxisTick {
  readonly at: number;
  readonly label: string | null;
}

/** Steps of 1, 2 or 5 × 10ⁿ, the smallest that leaves at most `most` of them in the range. */
export function niceStep(range: number, most: number): number {
  const raw = range / Math.max(1, most);
  const power = 10 ** Math.floor(Math.log10(raw));
  const lead = raw / power;
  return power * (lead <= 1 ? 1 : lead <= 2 ? 2 : lead <= 5 ? 5 : 10);
}

export interface FrequencyAxis {
  readonly ticks: readonly AxisTick[];
  readonly unit: FrequencyUnit;
}

/** Labelled ticks with as many digits as their step needs, and unlabelled ones between. */
export function frequencyTicks(lowHz: number, highHz: number, mostLabels: number): FrequencyAxis {
  const unit = frequencyUnit(highHz);
  const step = niceStep(highHz - lowHz, mostLabels);
  const minor = step / 5;
  const places = Math.max(0, -Math.floor(Math.log10(step / unit.hz) + 1e-9));
  const ticks: AxisTick[] = [];
  for (let i = Math.ceil(lowHz / minor - 1e-9); i * minor <= highHz; i++) {
    ticks.push({ at: i * minor, label: i % 5 === 0 ? ((i * minor) / unit.hz).toFixed(places) : null });
  }
  return { ticks, unit };
}

export function levelTicks(lowDb: number, highDb: number, most: number): readonly number[] {
  const step = niceStep(highDb - lowDb, most);
  const ticks: number[] = [];
  for (let i = Math.ceil(lowDb / step - 1e-9); i * step <= highDb + 1e-9; i++) ticks.push(i * step);
  return ticks;
}
