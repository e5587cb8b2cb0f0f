import type { Source } from '../../model/source.ts';
import { tolerancePpmOf } from '../../model/source-defaults.ts';

/** How far a free-running source may stand from its nominal frequency. */
export interface FrequencyRange {
  /** Half the relative range, 1 = 100 %. */
  readonly halfWidth: number;
  readonly toleranceStated: boolean;
}

/**
 * Tolerance, drift over the temperature range and half the deliberate spread, added up: the worst case, since nobody knows which of
 * them hide in which. A locked source has the range of the source at the end of its chain.
 */
export function frequencyRangeOf(root: Source, temperatureSpanK: number): FrequencyRange {
  const { tolerancePpm, stated } = tolerancePpmOf(root);
  const driftPpm = Math.abs(root.driftPpmPerK ?? 0) * temperatureSpanK;
  return { halfWidth: 1e-6 * (tolerancePpm + driftPpm + (root.spreadPpm ?? 0) / 2), toleranceStated: stated };
}

/**
 * First harmonic at which the ranges of neighbouring harmonics meet: n (1 + δ) ≥ (n + 1)(1 − δ), so n ≥ (1 − δ) / (2 δ). The exact
 * form of the usual n ≥ 1/(2δ), which it undercuts by one half. Null for δ = 0.
 */
export function blursFrom(halfWidth: number): number | null {
  return halfWidth > 0 ? Math.max(1, Math.ceil((1 - halfWidth) / (2 * halfWidth) - 1e-9)) : null;
}
