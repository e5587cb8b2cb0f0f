/** Every threshold of a triage. Defaults with reason and source stand beside each. */
export interface TriageSettings {
  /** Expected number of noise-only detections in a whole capture. Sets the threshold through the noise statistics. */
  readonly falseAlarmsPerCapture: number;
  /** Width of the running median in points (odd), or null to choose from RBW, spacing and length. */
  readonly floorWindowPoints: number | null;
  /** A comb is claimed only where its chance (p-value, search counted in) is below this. */
  readonly claimChance: number;
  /** A line belongs to a comb when it lies within this many standard deviations of the predicted harmonic. */
  readonly matchSigma: number;
  /** Relative accuracy of the analyser's frequency axis in ppm where neither file nor conditions state it. */
  readonly frequencyAccuracyPpm: number;
}

export const DEFAULT_TRIAGE_SETTINGS: TriageSettings = {
  // A choice of this tool: one noise detection in twenty captures. A phantom costs an engineer an hour; a line missed
  // at this threshold is weaker than the stated weakest detectable line.
  falseAlarmsPerCapture: 0.05,
  floorWindowPoints: null,
  // A choice of this tool: one wrong comb in a thousand captures full of lines of something else.
  claimChance: 1e-3,
  // Common practice, no source: three standard deviations, 99.7 % of Gaussian errors.
  matchSigma: 3,
  // Common practice, no source: ageing of an ovenless reference, 1 ppm.
  frequencyAccuracyPpm: 1,
};
