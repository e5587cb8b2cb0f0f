import type { CalibrationChain, CalibrationTable, PointTransfer } from '../../model/calibration.ts';
import type { LevelMeaning } from '../../model/level-meaning.ts';
import type { LevelUnit } from '../../model/level-unit.ts';
import type { SpectrumSettings } from '../../model/spectrum-settings.ts';
import type { TimeStructure } from '../../model/time-structure.ts';
import type { WatchedFolder } from '../../model/watched-folder.ts';
import type { CaptureSummary } from '../contract.ts';

/** A record of samples that a capture's file holds. */
export interface RecordingSummary {
  readonly label: string;
  readonly complex: boolean;
  readonly channels: readonly { readonly name: string; readonly unit: string }[];
  readonly sampleRateHz: number;
  readonly sampleCount: number;
  readonly durationS: number;
  readonly centreHz: number | null;
  readonly annotations: number;
  readonly stated: readonly { readonly name: string; readonly value: string }[];
}

/** What a spectrum with these settings would be: bins, RBW, averages; or why there is none. */
export interface SpectrumPlanView {
  readonly windowPoints: number;
  readonly transformPoints: number;
  readonly segments: number;
  readonly effectiveAverages: number;
  /** The noise bandwidth: ENBW × sampling rate / window length. */
  readonly rbwHz: number;
  readonly enbwBins: number;
  /** From one point of the trace to the next. */
  readonly spacingHz: number;
  readonly points: number;
  readonly usedS: number;
  /** `RBW = ENBW × fs / N` with the numbers in it. */
  readonly sentence: string;
  /** Why there is no such spectrum; the numbers are then 0. */
  readonly problem: string | null;
}

export interface RecordingWaterfall {
  readonly label: string;
  readonly frequencyHz: Float64Array;
  readonly rows: number;
  readonly levelDb: Float32Array;
  readonly unit: LevelUnit;
  readonly rowStartS: Float64Array | null;
}

/** How an envelope goes with a log. */
export interface LogAgreementView {
  /** null: too few steps within the log, or one of the two does not change. */
  readonly correlation: number | null;
  readonly chance: number | null;
  readonly stepDb: number | null;
  /** One sentence a reviewer can read. */
  readonly why: string;
}

export interface ToneCheckView {
  readonly readDb: number;
  readonly unit: string;
  readonly differenceDb: number;
  readonly sigmaDb: number;
  readonly agrees: boolean;
  readonly why: string;
}

/** One thing that two captures, or one by itself, do not meet. */
export interface FitProblem {
  /** `refuses`: levels must not be compared; `doubt`: they can be, with this in mind. */
  readonly weight: 'refuses' | 'doubt';
  readonly name: string;
  readonly message: string;
}

/** What an export is of, and as what. */
export type ExportWhat =
  | { readonly of: 'trace'; readonly captureId: number; readonly as: 'csv' | 'json' }
  | { readonly of: 'spurs'; readonly captureId: number; readonly as: 'csv' | 'json' }
  | {
      readonly of: 'plot';
      readonly captureId: number;
      readonly as: 'svg';
      readonly lowHz: number;
      readonly highHz: number;
    }
  | { readonly of: 'annotations'; readonly captureId: number; readonly as: 'sigmf-meta' }
  | { readonly of: 'sources'; readonly as: 'csv' | 'json' }
  | {
      readonly of: 'tracks';
      readonly beforeCaptureIds: readonly number[];
      readonly afterCaptureIds: readonly number[];
      /** As for `compareRun`. */
      readonly repeats?: 'sweep-to-sweep' | 're-rigged';
      readonly as: 'csv' | 'json';
    };

export interface Exported {
  /** A name to save it under. */
  readonly file: string;
  readonly text: string;
}

/** A file of a watched folder that was taken in, or refused. */
export interface CaptureArrived {
  readonly folderId: number;
  readonly file: string;
  /** null: it was refused. */
  readonly captureId: number | null;
  readonly spurs: number | null;
  /** One sentence: what was found, what the comparison says, or why it was refused. */
  readonly sentence: string;
}

/** What the watch on a folder sees. */
export interface WatchedFolderView {
  readonly folder: WatchedFolder;
  /** Files whose size still changes. */
  readonly waitingFor: readonly string[];
  /** Files that were not taken in, each with the reason. */
  readonly refused: readonly { readonly file: string; readonly reason: string }[];
  /** Why the folder cannot be looked at; null where it can. */
  readonly problem: string | null;
}

type None = Record<string, never>;

/** Recordings, calibration, watched folders, fitness, export. */
export interface RecordingCalls {
  /** Empty for a capture whose file holds spectra. */
  recordingList(argument: { captureId: number }): Promise<readonly RecordingSummary[]>;
  spectrumPlan(argument: {
    captureId: number;
    recording: number;
    settings: SpectrumSettings;
  }): Promise<SpectrumPlanView>;
  /** Makes another spectrum of a recording, keeps it as one more trace of the capture and chooses it. */
  spectrumRun(argument: {
    captureId: number;
    recording: number;
    channel: number;
    settings: SpectrumSettings;
    /** Only the bursts or only the pauses, told apart by an envelope of such steps; left out: all. */
    gated?: { which: 'on' | 'quiet'; stepS: number };
    jobId: string;
  }): Promise<CaptureSummary>;
  waterfallRun(argument: {
    captureId: number;
    recording: number;
    channel: number;
    settings: SpectrumSettings;
    rows: number;
    columns: number;
    jobId: string;
  }): Promise<RecordingWaterfall>;

  /** Envelope, bursts and their rate. */
  timeStructure(argument: {
    captureId: number;
    recording: number;
    channel: number;
    stepS: number;
    jobId: string;
  }): Promise<TimeStructure>;
  /** Does the envelope go with a log (rows of time_s, value) at the stated offset of its clock? Null: it cannot be told. */
  timeAgreement(argument: {
    captureId: number;
    recording: number;
    channel: number;
    stepS: number;
    file: string;
    text: string;
    offsetS: number;
    jobId: string;
  }): Promise<LogAgreementView>;

  calibrationList(argument: None): Promise<readonly CalibrationTable[]>;
  calibrationPut(argument: Omit<CalibrationTable, 'id'> & { id: number | null }): Promise<CalibrationTable>;
  calibrationRemove(argument: { id: number }): Promise<void>;
  /** Rows of frequency, value and perhaps uncertainty (CSV), or a network parameter file; kept under the name given. */
  calibrationImport(
    argument: Omit<CalibrationTable, 'id' | 'frequencyHz' | 'valueDb' | 'uncertaintyDb'> & {
      file: string;
      bytes: Uint8Array;
    },
  ): Promise<CalibrationTable>;
  chainList(argument: None): Promise<readonly CalibrationChain[]>;
  chainPut(argument: Omit<CalibrationChain, 'id'> & { id: number | null }): Promise<CalibrationChain>;
  chainRemove(argument: { id: number }): Promise<void>;
  /** Does the capture's chain give back a tone that is known? */
  chainCheckTone(argument: {
    captureId: number;
    frequencyHz: number;
    levelDb: number;
    sigmaDb: number;
  }): Promise<ToneCheckView>;
  transferList(argument: { pointId: number }): Promise<readonly PointTransfer[]>;
  /** Always a new version. */
  transferAdd(argument: Omit<PointTransfer, 'id' | 'version' | 'by'>): Promise<PointTransfer>;
  /**
   * The next version from a file: rows of frequency, what is added to a level at the point, and perhaps its uncertainty (CSV), or a
   * network parameter file from the point (port 1) to the receiver's input (port 2), whose forward gain is what is added.
   */
  transferImport(
    argument: Omit<PointTransfer, 'id' | 'version' | 'by' | 'frequencyHz' | 'valueDb' | 'uncertaintyDb'> & {
      file: string;
      bytes: Uint8Array;
    },
  ): Promise<PointTransfer>;
  /** Takes captures through a chain and a transfer, or (nulls) through none. The levels of the file stay. */
  captureCalibrate(argument: {
    captureIds: readonly number[];
    chainId: number | null;
    transferId: number | null;
  }): Promise<readonly CaptureSummary[]>;
  /** Whether the capture's levels may be held against a limit, and the warnings of its chain. */
  captureMeaning(argument: { captureId: number }): Promise<{
    readonly meaning: LevelMeaning;
    readonly unit: string;
    readonly warnings: readonly string[];
  }>;

  /** What speaks against using these captures, or comparing them, today. */
  fitToCompare(argument: {
    beforeCaptureIds: readonly number[];
    afterCaptureIds: readonly number[];
  }): Promise<readonly FitProblem[]>;

  watchList(argument: None): Promise<readonly WatchedFolderView[]>;
  watchPut(argument: Omit<WatchedFolder, 'id'> & { id: number | null }): Promise<WatchedFolderView>;
  watchRemove(argument: { id: number }): Promise<void>;

  exportRun(argument: { what: ExportWhat; jobId: string }): Promise<Exported>;
}
