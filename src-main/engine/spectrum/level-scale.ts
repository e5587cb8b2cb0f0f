import type { LevelUnit } from '../../model/level-unit.ts';

/** What mean square of one unit of the channel reads, and in which unit. */
export interface SpectrumScale {
  readonly unit: LevelUnit;
  /** Level of a mean square of 1 (channel units squared). */
  readonly zeroDb: number;
}

/**
 * The level that a mean square is shown as.
 *
 * - Full scale only: dBFS, where a sine (of an I/Q record: a turning phasor) whose peak reaches full scale reads 0 dB (the definition of
 *   AES17, from memory); a sine of peak 1 has the mean square 1/2.
 * - Volts: dBV of the rms, or, where it is known what the voltage stands across, dBm: 10·log10(U²/R) + 30.
 * - Amperes, watts and others: decibels of the rms of the unit; a unit nobody knows gives an unknown unit.
 *
 * I/Q samples are taken as the complex envelope: |I + jQ| is the peak of the carrier.
 */
export function spectrumScale(channelUnit: string, impedanceOhm: number | null): SpectrumScale {
  const decibel = (name: string): LevelUnit => ({ name, scale: 'decibel', perHz: false });
  if (channelUnit === 'FS') return { unit: decibel('dBFS'), zeroDb: 10 * Math.log10(2) };
  if (channelUnit === 'V')
    return impedanceOhm === null
      ? { unit: decibel('dBV'), zeroDb: 0 }
      : { unit: decibel('dBm'), zeroDb: 30 - 10 * Math.log10(impedanceOhm) };
  if (channelUnit === 'A')
    return impedanceOhm === null
      ? { unit: decibel('dBA'), zeroDb: 0 }
      : { unit: decibel('dBm'), zeroDb: 30 + 10 * Math.log10(impedanceOhm) };
  return { unit: decibel('unknown'), zeroDb: 0 };
}
