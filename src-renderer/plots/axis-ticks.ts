import { frequencyUnit } from '../state/format.ts';
import type { FrequencyUnit } from '../state/format.ts';

export interface AxisTick {
  readonly at: number;
  readonly label: string | null;
  /** The unit of this label, where it is not the axis's. */
  readonly unit?: FrequencyUnit;
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

/**
 * Ticks of a logarithmic axis: 1 … 9 × 10ⁿ, labelled at 1, 2 and 5, of a wide axis at 1 alone. Within less than a decade steps of
 * equal frequency say more, so there the linear ticks are taken.
 */
export function logFrequencyTicks(lowHz: number, highHz: number, mostLabels: number): FrequencyAxis {
  const decades = Math.log10(highHz / lowHz);
  if (!(lowHz > 0) || decades < 0.8) return frequencyTicks(lowHz, highHz, mostLabels);
  const labelled = 3 * decades <= mostLabels ? [1, 2, 5] : [1];
  const ticks: AxisTick[] = [];
  for (let power = Math.floor(Math.log10(lowHz)); 10 ** power <= highHz; power++)
    for (let lead = 1; lead <= 9; lead++) {
      const at = lead * 10 ** power;
      if (at < lowHz * (1 - 1e-9) || at > highHz * (1 + 1e-9)) continue;
      const unit = frequencyUnit(at);
      ticks.push({ at, label: labelled.includes(lead) ? String(Number((at / unit.hz).toPrecision(3))) : null, unit });
    }
  return { ticks, unit: frequencyUnit(highHz) };
}

export function levelTicks(lowDb: number, highDb: number, most: number): readonly number[] {
  const step = niceStep(highDb - lowDb, most);
  const ticks: number[] = [];
  for (let i = Math.ceil(lowDb / step - 1e-9); i * step <= highDb + 1e-9; i++) ticks.push(i * step);
  return ticks;
}
