import type { FrequencyTable } from './frequency-table.ts';
import type { Recording } from './recording.ts';
import type { Trace } from './trace.ts';
import type { Waterfall } from './waterfall.ts';

/** How the levels of several sweeps became one; decides which statistics describe the noise. */
export type Averaging = 'none' | 'power' | 'log' | 'voltage' | 'max-hold' | 'min-hold' | 'unknown';

export type Detector =
  'sample' | 'rms' | 'average' | 'positive-peak' | 'negative-peak' | 'quasi-peak' | 'normal' | 'unknown';

/** A line as the window of a computed spectrum shows it. */
export interface ComputedLine {
  /** a₀, a₁ … of the window Σ (−1)^k·a_k·cos(2πkn/N). */
  readonly coefficients: readonly number[];
  /** Width at half power, in bins of the window and in hertz. */
  readonly halfPowerBins: number;
  readonly widthHz: number;
}

/** What is known of how a trace was taken. `null` (or `unknown`) means nobody said, never a default. */
export interface CaptureSettings {
  readonly rbwHz: number | null;
  /** Between which points of the filter `rbwHz` was stated; null is taken as 3 dB by the engine, and it says so. */
  readonly rbwShape: '3 dB' | '6 dB' | 'noise' | null;
  readonly vbwHz: number | null;
  readonly averages: number | null;
  readonly averaging: Averaging;
  readonly detector: Detector;
  readonly attenuationDb: number | null;
  readonly gainDb: number | null;
  readonly sweepTimeS: number | null;
  readonly referenceLevel: number | null;
  /** Relative accuracy of the frequency axis where the file states it, in parts per million. */
  readonly frequencyAccuracyPpm: number | null;
  /** As written in the file; not interpreted. */
  readonly takenAt: string | null;
  /** The exact shape of an unresolved line, of a spectrum that was computed of a record; left out or null: a swept filter’s. */
  readonly computedLine?: ComputedLine | null;
  /** Samples that reached the converter's full scale; left out or null: nobody counted. */
  readonly clippedSamples?: number | null;
  /** The gain state the receiver was in, by the name its team has for it; left out or null: nobody said. */
  readonly gainState?: string | null;
  /** The frequency that an I/Q receiver was tuned to, where the trace was computed of its record; left out or null: not known. */
  readonly centreHz?: number | null;
  /** The channel responses that the levels have been freed of, by their names; left out: none. */
  readonly channelResponse?: string;
}

export const UNKNOWN_SETTINGS: CaptureSettings = {
  rbwHz: null,
  rbwShape: null,
  vbwHz: null,
  averages: null,
  averaging: 'unknown',
  detector: 'unknown',
  attenuationDb: null,
  gainDb: null,
  sweepTimeS: null,
  referenceLevel: null,
  frequencyAccuracyPpm: null,
  takenAt: null,
};

/** What a reader understood of one file. Pure data; the file name and hash are added by whoever opened it. */
export interface ReadCapture {
  /** One line saying what layout was recognised, for the user to check. */
  readonly layout: string;
  /**
   * At least one unless there are recordings or tables; the first non-blank trace is the one that is analysed unless the user says
   * otherwise.
   */
  readonly traces: readonly Trace[];
  /** Records of samples against time, of which spectra can be made. */
  readonly recordings?: readonly Recording[];
  /** The spectra one by one where the traces sum up many. */
  readonly waterfalls?: readonly Waterfall[];
  /** Gains, losses or reflections against frequency (network parameters). */
  readonly tables?: readonly FrequencyTable[];
  /** Plain sentences: contradictions, things taken for want of a statement, things passed over. */
  readonly warnings: readonly string[];
}

export interface Capture extends ReadCapture {
  /** The name the user knows the file by. */
  readonly file: string;
  /** SHA-256 of the file's bytes, lower-case hex. */
  readonly sha256: string;
}
