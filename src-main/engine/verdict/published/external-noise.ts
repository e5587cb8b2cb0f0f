import type { LimitLine } from '../../../model/limit-line.ts';
import { BOLTZMANN_J_PER_K, STANDARD_TEMPERATURE_K } from '../../../units/conversions.ts';

export type NoiseEnvironment = 'city' | 'residential' | 'rural' | 'quiet rural' | 'galactic';

/** Coefficients of F_am = c − d·log10(f/MHz) and where they hold, ITU-R P.372-16 (read in the study group's reference code). */
export const EXTERNAL_NOISE: Readonly<
  Record<
    NoiseEnvironment,
    { readonly c: number; readonly d: number; readonly lowMhz: number; readonly highMhz: number }
  >
> = {
  city: { c: 76.8, d: 27.7, lowMhz: 0.3, highMhz: 250 },
  residential: { c: 72.5, d: 27.7, lowMhz: 0.3, highMhz: 250 },
  rural: { c: 67.2, d: 27.7, lowMhz: 0.3, highMhz: 250 },
  'quiet rural': { c: 53.6, d: 28.6, lowMhz: 0.3, highMhz: 250 },
  galactic: { c: 52.0, d: 23.0, lowMhz: 0.3, highMhz: 100 },
};

/** Median external noise figure in dB over k·T₀·B at a lossless antenna. */
export function externalNoiseFigureDb(environment: NoiseEnvironment, frequencyHz: number): number {
  const { c, d } = EXTERNAL_NOISE[environment];
  return c - d * Math.log10(frequencyHz / 1e6);
}

/** Median external noise power in dBm in a noise bandwidth. */
export function externalNoiseDbm(environment: NoiseEnvironment, frequencyHz: number, bandwidthHz: number): number {
  const thermalDbm = 10 * Math.log10(BOLTZMANN_J_PER_K * STANDARD_TEMPERATURE_K * bandwidthHz) + 30;
  return externalNoiseFigureDb(environment, frequencyHz) + thermalDbm;
}

/** What the antenna brings anyway: a line below it is no louder than the noise that nature or neighbours put into 1 kHz. */
export const EXTERNAL_NOISE_LINES: readonly LimitLine[] = (Object.keys(EXTERNAL_NOISE) as NoiseEnvironment[]).map(
  (environment) => {
    const [lowHz, highHz] = [EXTERNAL_NOISE[environment].lowMhz * 1e6, EXTERNAL_NOISE[environment].highMhz * 1e6];
    return {
      name: `ITU-R P.372 noise in 1 kHz, ${environment}`,
      unit: 'dBm',
      stretches: [
        {
          lowHz,
          highHz,
          lowLevel: externalNoiseDbm(environment, lowHz, 1000),
          highLevel: externalNoiseDbm(environment, highHz, 1000),
        },
      ],
      detector: 'average' as const,
      bandwidths: [],
      distanceM: null,
      document: 'ITU-R P.372-16, median external noise of a lossless antenna, as power in 1 kHz',
      isConfirmed: true,
      origin:
        'coefficients read in the study group’s reference code; a median of what antennas receive, not a limit that anybody set',
    };
  },
);
