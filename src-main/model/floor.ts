/** Which description of the noise set the threshold. */
export type NoiseStatistic = 'chi-square' | 'robust-spread';

/**
 * The noise floor of one trace and the detection threshold over it, per point, in decibels of the trace's unit.
 *
 * `meanDb` is the mean noise *power* (not the median, not the mean of decibels), so a line's height over it is a power ratio.
 */
export interface Floor {
  readonly meanDb: Float64Array;
  /** One standard deviation of `meanDb` at a point, in dB (typical over the trace). */
  readonly sigmaDb: number;
  /** Level that a point must exceed to be a detection. */
  readonly thresholdDb: Float64Array;
  /** Height over the floor that the mean power of two neighbouring points must exceed to be a detection, in dB. */
  readonly pairThresholdOverFloorDb: number;
  /** Median of the trace's noise over `meanDb`, in dB: slightly negative for averaged noise, several dB for held noise. */
  readonly medianOverMeanDb: number;
  /** Looks that describe the scatter of one point: the averages, or the number fitted to the trace's own spread. */
  readonly looks: number;
  /** Correlation of the power of neighbouring noise points, 0…1. */
  readonly neighbourCorrelation: number;
  readonly statistic: NoiseStatistic;
  /** The number of independent averages the statistic assumes; null with the robust spread. */
  readonly averages: number | null;
  /** Standard deviation of a noise-only point in dB. */
  readonly pointSpreadDb: number;
  readonly windowPoints: number;
  /** Probability that one noise-only point exceeds the threshold. */
  readonly falseAlarmProbability: number;
  /** Expected number of noise-only detections in the whole trace. */
  readonly falseAlarmsExpected: number;
  /** Weakest line, as a height of its own power over the floor, found with probability 0.95. */
  readonly weakestDetectableOverFloorDb: number;
  /** One sentence: which statistic and why. */
  readonly why: string;
  readonly warnings: readonly string[];
}
