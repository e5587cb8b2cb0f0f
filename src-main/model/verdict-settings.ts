/** Every threshold of a verdict. Defaults with reason and source stand beside each. */
export interface VerdictSettings {
  /** One-sided confidence of the bounds on a level that decide: upper bound for holds, lower bound for falls short. */
  readonly confidence: number;
  /** One standard deviation of a level in one set-up against another, in dB; counts in every verdict. */
  readonly repeatabilityDb: number;
  /** One standard deviation of an absolute level beside its own noise, in dB: instrument, cable, mismatch. Counts against absolute limits only. */
  readonly absoluteDb: number;
  /** Two captures of stated temperatures farther apart than this are not alike, in K. */
  readonly likeTemperatureK: number;
  /** Largest ratio of two RBWs that still count as alike. */
  readonly likeRbwRatio: number;
  /** A capture's bandwidth fits what a limit demands within this share. */
  readonly bandwidthShare: number;
}

export const DEFAULT_VERDICT_SETTINGS: VerdictSettings = {
  // As the limits of the comparison: 95 %, one-sided.
  confidence: 0.95,
  // Common practice, no source: cable, probe and temperature move a level by ±1 to 2 dB.
  repeatabilityDb: 1,
  // Laboratories state 2.26 dB (conducted) and 2.56 dB (30–1000 MHz) at two standard deviations (a published test report); a bench is
  // no better. A choice of this tool: 1.5 dB.
  absoluteDb: 1.5,
  // A choice of this tool: a free-running converter at 200 ppm/K moves by 0.2 % over 10 K, well inside what tracking follows.
  likeTemperatureK: 10,
  // A choice of this tool: floors differ by 0.8 dB at most, humps by as much.
  likeRbwRatio: 1.2,
  // A choice of this tool: 10 % change noise by 0.4 dB and impulses by 0.8 dB, less than the doubt of any level.
  bandwidthShare: 0.1,
};
