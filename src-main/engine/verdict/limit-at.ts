import type { DemandedBandwidth, LimitLine, LimitStretch } from '../../model/limit-line.ts';

/**
 * The limit at one frequency, in the line's unit; null where it sets none (never extrapolated).
 *
 * Straight in decibels over log frequency: L = L₁ + (L₂ − L₁)·log(f/f₁)/log(f₂/f₁), "decreases with the logarithm of the frequency"
 * (47 CFR 18.307). Where stretches meet or overlap, the lower limit ("the lower limit shall apply at the transition frequencies").
 */
export function limitAt(line: LimitLine, frequencyHz: number): number | null {
  let lowest: number | null = null;
  for (const stretch of line.stretches) {
    if (stretch.lowHz > frequencyHz) break;
    const level = levelOn(stretch, frequencyHz);
    if (level !== null && (lowest === null || level < lowest)) lowest = level;
  }
  return lowest;
}

function levelOn({ lowHz, highHz, lowLevel, highLevel }: LimitStretch, frequencyHz: number): number | null {
  if (frequencyHz < lowHz || frequencyHz > highHz) return null;
  if (lowLevel === highLevel || frequencyHz === lowHz) return lowLevel;
  if (frequencyHz === highHz) return highLevel;
  return lowLevel + ((highLevel - lowLevel) * Math.log(frequencyHz / lowHz)) / Math.log(highHz / lowHz);
}

/** The same for a whole column; NaN where there is no limit. */
export function limitColumn(line: LimitLine, frequencyHz: Float64Array): Float64Array {
  return frequencyHz.map((hz) => limitAt(line, hz) ?? NaN);
}

/** The bandwidths a limit demands at a frequency: none, one, or at the edge of two ranges both, either of which will do. */
export function demandedBandwidths(line: LimitLine, frequencyHz: number): readonly DemandedBandwidth[] {
  return line.bandwidths.filter(({ lowHz, highHz }) => lowHz <= frequencyHz && frequencyHz <= highHz);
}
