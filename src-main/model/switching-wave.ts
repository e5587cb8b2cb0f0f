/** A trapezoidal switching wave: share of the period it is on (at half height) and how long its edges take. */
export interface SwitchingWave {
  readonly frequencyHz: number;
  readonly duty: number;
  readonly riseS: number;
}

/**
 * Peak of harmonic n of a trapezoidal wave of unit height: 2 D |sinc(n D)| |sinc(n t_r f)|, equal rise and fall.
 *
 * It is the voltage at the switching node and not what couples into a receiver: use it to compare harmonics of one source, never as a level.
 *
 * Source: C. Paul, Introduction to Electromagnetic Compatibility, 2nd ed., section 3.2 (from memory; the formula and its corners read in
 * public course notes that follow it).
 */
export function nodeHarmonic(n: number, { frequencyHz, duty, riseS }: SwitchingWave): number {
  return 2 * duty * Math.abs(sinc(n * duty)) * Math.abs(sinc(n * riseS * frequencyHz));
}

/** The envelope over those peaks: flat to 1/(π D T), −20 dB a decade to 1/(π t_r), −40 dB beyond. */
export function nodeEnvelope(n: number, { frequencyHz, duty, riseS }: SwitchingWave): number {
  return 2 * duty * Math.min(1, 1 / (Math.PI * n * duty)) * Math.min(1, 1 / (Math.PI * n * riseS * frequencyHz));
}

function sinc(x: number): number {
  return x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
}
