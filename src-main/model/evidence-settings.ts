/** Every threshold with which captures are weighed against each other. Defaults with reason and source stand beside each. */
export interface EvidenceSettings {
  /** One standard deviation of a level when the same thing is measured again, each side. */
  readonly repeatabilityDb: number;
  /** Two levels are the same where they differ by no more than this many standard deviations. */
  readonly sameSigma: number;
  /** A line is absent only where the other capture would have shown it this far below its level here. */
  readonly absentMarginDb: number;
  /** Confidence of upper limits, one-sided. */
  readonly limitConfidence: number;
  /** Highest order of overload products that is looked for. */
  readonly highestOrder: number;
  /** Share of a comb's decided lines that must agree before the comb is said to have gone or stayed. */
  readonly combShare: number;
  /** Fewest decided lines that say what a comb did. */
  readonly combLines: number;
  /** Farthest that a free-running source moves between two captures, ± ppm. */
  readonly freeRunningDriftPpm: number;
  /** How far switching off one load commonly moves another source, ppm: half of all moves are smaller. */
  readonly loadShiftPpm: number;
  /** How a comb's levels scatter from capture to capture when another load is switched, one standard deviation. */
  readonly loadLevelDb: number;
  /** One comb is another moved only where it is this much likelier than the next, natural logarithm of the odds. */
  readonly combOdds: number;
  /** One standard deviation of a stated temperature. */
  readonly temperatureSigmaC: number;
  /** Smallest range of temperature that gives a drift. */
  readonly driftRangeC: number;
}

export const DEFAULT_EVIDENCE_SETTINGS: EvidenceSettings = {
  // As a comparison takes it. Common practice, no source: cable, probe and temperature move a level by ±1 to 2 dB.
  repeatabilityDb: 1,
  // 95 % of Gaussian differences. Wider would call ambient what is half ours (+3.0 dB); narrower would miss stations that fade.
  sameSigma: 2,
  // A choice of this tool: half the power.
  absentMarginDb: 3,
  limitConfidence: 0.95,
  // Products above the fifth order are weak and rare. Common practice, no source.
  highestOrder: 5,
  // A choice of this tool: one line in five may meet another line or a null by accident.
  combShare: 0.8,
  combLines: 3,
  // As a comparison takes it: free-running converters move by 1–2 % with load and temperature; a quarter more for safety.
  freeRunningDriftPpm: 25_000,
  // A choice of this tool: one load among several moves a free-running converter by some tenths of a per cent.
  loadShiftPpm: 3000,
  // A choice of this tool: duty and current change a little with the load.
  loadLevelDb: 3,
  // ln 20: twenty to one.
  combOdds: 3,
  // Common practice, no source: a thermocouple on the board is read to half a degree.
  temperatureSigmaC: 0.5,
  // A choice of this tool: below this the thermometer decides the figure.
  driftRangeC: 5,
};
