/** Every threshold of a comparison. Defaults with reason and source stand beside each. */
export interface CompareSettings {
  /** Confidence of upper limits, one-sided. */
  readonly limitConfidence: number;
  /** A line no longer seen is `cleared` where at least this drop is proven. */
  readonly clearedDropDb: number;
  /** How often one unchanged line is called weaker or stronger, both directions together. */
  readonly changeRate: number;
  /** One standard deviation of a level when the same thing is set up and measured again; used where no repeats say it. */
  readonly repeatabilityDb: number;
  /** What several files of one side are: sweeps of one set-up, or the set-up taken apart and made again between them. */
  readonly repeats: 'sweep-to-sweep' | 're-rigged';
  /** How far a source may have moved between two captures, ± ppm, where nothing binds its frequency. */
  readonly freeRunningDriftPpm: number;
  /** How far a line may have moved, one standard deviation in ppm, where nothing says that its source runs freely. */
  readonly stableDriftPpm: number;
}

export const DEFAULT_COMPARE_SETTINGS: CompareSettings = {
  // Fixed by the command contract.
  limitConfidence: 0.95,
  clearedDropDb: 6,
  // A choice of this tool: three standard deviations, so that a few hundred unchanged lines give about one false change.
  // At a rate of 5 % every comparison of a hundred lines would tell five untrue stories.
  changeRate: 0.0027,
  // Common practice, no source: cable, probe and temperature move a level by ±1 to 2 dB.
  repeatabilityDb: 1,
  repeats: 'sweep-to-sweep',
  // A choice of this tool: free-running converters move by 1–2 % with load and temperature; a quarter more for safety.
  freeRunningDriftPpm: 25_000,
  // Common practice, no source: crystals stay within some tens of ppm over bench temperatures.
  stableDriftPpm: 20,
};
