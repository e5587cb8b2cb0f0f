/** What every figure of a plan rests on. The documents print all of it. */
export interface PlanSettings {
  /**
   * Temperature range, ± kelvin about the temperature at which the nominal frequencies hold; × |drift_ppm_per_k|.
   * Default 40 K: a choice of this tool, half of −20 … 60 °C. No effect where a source states no drift.
   */
  readonly temperatureSpanK: number;
  /**
   * How far beside a line a channel is still spoilt: leakage of the window or skirt of the RBW filter, Hz to each side.
   * Default 0: the channel itself is taken as what the receiver resolves. Nobody but its designer knows its skirts, so the
   * documents say that none were counted.
   */
  readonly leakageHz: number;
  /**
   * Harmonics that are followed through folding where a source states no max_harmonic: at least to this one, further where the band
   * itself is reached directly. Default 100. Reason: above both corners the envelope of a trapezoidal wave falls by 40 dB a
   * decade (C. Paul, Introduction to EMC, from memory), so that the 100th stands 80 dB under the first.
   */
  readonly foldedHarmonics: number;
  /** Settings tried of a range without a step, evenly spaced, both ends among them. Default 200. */
  readonly choicesOfARange: number;
  /** May a free-running source with a range be locked to a clock of the register by a whole divider? Default true. */
  readonly offerLocks: boolean;
  /** Draws of the Monte Carlo. Default 400: a 95 % quantile then rests on 20 draws. */
  readonly draws: number;
  /** Starts the one generator of random numbers. Default 1. */
  readonly seed: number;
  /** Work for the search, in millions of words of 32 channels looked at. Default 800: some seconds on one core. */
  readonly effort: number;
  /**
   * Work for the proof that little better is possible, likewise; a third of it at most goes on from there to whether anything is better at all.
   * Default 2400: some ten seconds on one core where the question is hard; most are answered sooner.
   */
  readonly proofEffort: number;
}

export const DEFAULT_PLAN_SETTINGS: PlanSettings = {
  temperatureSpanK: 40,
  leakageHz: 0,
  foldedHarmonics: 100,
  choicesOfARange: 200,
  offerLocks: true,
  draws: 400,
  seed: 1,
  effort: 800,
  proofEffort: 2400,
};

/** Where one source runs in a plan. */
export interface SourceSetting {
  readonly source: string;
  readonly nominalHz: number;
  /** Designator of the source that clocks it; null where it runs freely. */
  readonly lockedTo: string | null;
  readonly lockNumerator: number | null;
  readonly lockDenominator: number | null;
}

/** What one source costs in a plan. Channels in which it may stand, anywhere within its tolerance. */
export interface PlannedSource {
  readonly source: string;
  /** Lost to this source alone: they come back where it is silenced. */
  readonly soleChannels: number;
  /** Lost to this source and to others too. */
  readonly sharedChannels: number;
  /** Half the relative range its frequency may lie in, ppm: tolerance, drift over the temperature range and half the spread. */
  readonly halfWidthPpm: number;
  /** False where the tolerance is the default of its kind. */
  readonly toleranceStated: boolean;
  /** From this harmonic on neighbouring harmonics run into each other: n ≥ 1 / (2 δ). Null where the range is nil. */
  readonly blursFromHarmonic: number | null;
  /** True where that harmonic lies under the top of a band: above it only locking helps. */
  readonly blursInBand: boolean;
  readonly changed: boolean;
}

export interface PlannedBand {
  readonly name: string;
  readonly channels: number;
  readonly lost: number;
}

/** One choice of settings for all sources, and what it costs at the worst. */
export interface Plan {
  readonly settings: readonly SourceSetting[];
  /** Sources that would be set or locked otherwise than today. */
  readonly changes: number;
  /** Lost channels, each times the weight of its band. */
  readonly lostWeight: number;
  readonly lostChannels: number;
  readonly bands: readonly PlannedBand[];
  readonly sources: readonly PlannedSource[];
}

/** A product of two free-running sources that may fall into a band. Counted nowhere: it needs something that mixes. */
export interface PlannedBeat {
  readonly first: string;
  readonly second: string;
  /** |firstHarmonic × f1 ± secondHarmonic × f2| */
  readonly firstHarmonic: number;
  readonly secondHarmonic: number;
  readonly sign: 1 | -1;
  readonly lowHz: number;
  readonly highHz: number;
  readonly band: string;
  readonly channels: number;
}

/** Two sources on one clock whose lines fall together, and so may add in step. */
export interface InStepPair {
  readonly first: string;
  readonly second: string;
  /** Lines fall together at the multiples of this. */
  readonly commonHz: number;
  readonly linesInBands: number;
  /** 20 log₁₀ 2 for two equal lines in step. */
  readonly riseDb: number;
  /** Delay of the second that sets the odd common lines against each other; the even ones stay in step. */
  readonly delayS: number;
  readonly lowestLineHz: number;
}

/** What a plan costs where one lock fails and its source runs freely again. */
export interface LockLost {
  readonly source: string;
  readonly lostWeight: number;
  readonly lostChannels: number;
}

/** Lost channels when every frequency is drawn at random within its range. */
export interface PlanRobustness {
  readonly draws: number;
  readonly worstChannels: number;
  readonly medianChannels: number;
  /** 5 % and 95 % of the draws lie below. */
  readonly lowChannels: number;
  readonly highChannels: number;
}

/** What else is to be known of a plan before it is built. */
export interface PlanRisks {
  readonly beats: readonly PlannedBeat[];
  readonly inStep: readonly InStepPair[];
  readonly lostLocks: readonly LockLost[];
  readonly robustness: PlanRobustness;
}

/** A clock that the register does not have, from which every changeable source would be divided. */
export interface CommonClock {
  readonly clockHz: number;
  /** All lines of the divided sources are multiples of this. */
  readonly spacingHz: number;
  readonly dividers: readonly { readonly source: string; readonly divider: number; readonly frequencyHz: number }[];
  /** The clock's own harmonics counted in. */
  readonly lostWeight: number;
  readonly lostChannels: number;
}

/** The outcome of a search for better settings. */
export interface Planning {
  readonly settings: PlanSettings;
  readonly bands: readonly { readonly name: string; readonly channels: number }[];
  readonly today: Plan;
  /** Ascending in changes; the best found for its number of changes first, then others nearly as good. */
  readonly plans: readonly Plan[];
  /** No plan can lose less than this, however many sources are changed. */
  readonly lowerBoundWeight: number;
  /** (least lost weight − lower bound) / least lost weight; 0 where nothing is lost or the least is proven. */
  readonly boundGap: number;
  /** True where the plan with the least lost weight is proven to be the least of all settings tried. */
  readonly isExact: boolean;
  /** False where the search was stopped early. */
  readonly isComplete: boolean;
  readonly commonClocks: readonly CommonClock[];
  /** What was assumed, in sentences. */
  readonly assumptions: readonly string[];
  readonly warnings: readonly string[];
}

/** Channels of one band in which a source may stand. */
export interface SourceInBand {
  readonly band: string;
  readonly soleChannels: number;
  readonly sharedChannels: number;
  /** First and last of each run of channels, both included, counted from 1 at the low end of the band. */
  readonly runs: readonly (readonly [number, number])[];
}

/** Which channels one source takes in a set of settings. */
export interface SourceChannels {
  readonly source: string;
  readonly bands: readonly SourceInBand[];
}

/** One set of settings worked out: what it costs, and how many sources take each channel of each band. */
export interface TriedPlan {
  readonly plan: Plan;
  readonly owners: readonly { readonly band: string; readonly channels: Uint16Array }[];
}
