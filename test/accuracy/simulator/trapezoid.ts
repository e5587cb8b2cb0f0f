/** A periodic trapezoid between 0 and `amplitudeV`, equal rise and fall times. */
export interface Trapezoid {
  readonly amplitudeV: number;
  readonly frequencyHz: number;
  /** Width at half height over the period, 0…1. */
  readonly duty: number;
  readonly riseS: number;
}

function sinc(x: number): number {
  return x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
}

/**
 * Peak amplitude of the nth harmonic, in volts: 2A·(τ/T)·|sinc(nτ/T)|·|sinc(n·tr/T)|.
 *
 * Formula as in Paul, Introduction to Electromagnetic Compatibility, §3.2.1 (from memory: check against your edition).
 */
export function harmonicPeakV({ amplitudeV, frequencyHz, duty, riseS }: Trapezoid, harmonic: number): number {
  return Math.abs(2 * amplitudeV * duty * sinc(harmonic * duty) * sinc(harmonic * riseS * frequencyHz));
}

/** Root-mean-square level of the nth harmonic in decibels over one microvolt; −Infinity where it vanishes. */
export function harmonicDbuV(wave: Trapezoid, harmonic: number): number {
  return 20 * Math.log10((harmonicPeakV(wave, harmonic) / Math.SQRT2) * 1e6);
}
