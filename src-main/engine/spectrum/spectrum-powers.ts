import type { PeriodogramSums } from './averaged-periodogram.ts';

/** Mean squares against frequency, ascending. */
export interface SpectrumPowers {
  /** Offset from the centre where the record is I/Q. */
  readonly frequencyHz: Float64Array;
  /** Mean square in each bin, scaled so that a line on a bin reads its own mean square: Σ|X|²/(K·(Σw)²), twice that where folded. */
  readonly meanSquare: Float64Array;
}

/**
 * The mean squares of averaged periodograms.
 *
 * A real record gives one side: what stands at −f is counted at f, so that a sine of peak A reads A²/2; 0 Hz is counted once, and the
 * bin at half the sampling rate is left out, since half of what could stand there is lost to the sampling. An I/Q record gives both
 * sides in rising order from −fs/2, a phasor of magnitude A reading A²/2, the mean square of the carrier whose envelope it is.
 *
 * A density in 1/Hz follows by dividing by the plan's RBW: (Σw)²·RBW = fs·Σw².
 */
export function spectrumPowers(
  { power, segments }: PeriodogramSums,
  weights: Float64Array,
  sampleRateHz: number,
  isComplex: boolean,
): SpectrumPowers {
  const n = power.length;
  const half = n / 2;
  let sum = 0;
  for (const w of weights) sum += w;
  const one = 1 / (segments * sum * sum);
  const spacingHz = sampleRateHz / n;
  if (isComplex) {
    const frequencyHz = new Float64Array(n);
    const meanSquare = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      frequencyHz[i] = (i - half) * spacingHz;
      meanSquare[i] = (power[(i + half) % n]! * one) / 2;
    }
    return { frequencyHz, meanSquare };
  }
  const frequencyHz = new Float64Array(half);
  const meanSquare = new Float64Array(half);
  for (let k = 0; k < half; k++) {
    frequencyHz[k] = k * spacingHz;
    meanSquare[k] = power[k]! * one * (k === 0 ? 1 : 2);
  }
  return { frequencyHz, meanSquare };
}
