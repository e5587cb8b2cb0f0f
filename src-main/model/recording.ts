/** How one number of a sample is stored. `i`: two's complement, `u`: unsigned, `f`: IEEE 754; the number of bits behind it. */
export type SampleType = 'i8' | 'u8' | 'i16' | 'u16' | 'i24' | 'i32' | 'u32' | 'i64' | 'u64' | 'f32' | 'f64';

export const SAMPLE_BYTES: Readonly<Record<SampleType, number>> = {
  i8: 1,
  u8: 1,
  i16: 2,
  u16: 2,
  i24: 3,
  i32: 4,
  u32: 4,
  i64: 8,
  u64: 8,
  f32: 4,
  f64: 8,
};

/** A run of whole frames in the file. Stretches follow each other in time without a gap. */
export interface SampleStretch {
  readonly offsetBytes: number;
  readonly sampleCount: number;
}

/**
 * Samples as bytes of a file: frames of `channels` samples each, a complex sample being two numbers (in phase, quadrature).
 *
 * Invariants: the stretches' counts add up to the recording's `sampleCount`; every stretch lies within the file it was read from.
 */
export interface StoredSamples {
  readonly kind: 'stored';
  /** The file that holds the samples where it is not the one that was opened (a data file beside its description); else null. */
  readonly dataFile: string | null;
  readonly type: SampleType;
  readonly bigEndian: boolean;
  readonly stretches: readonly SampleStretch[];
}

/** Samples that were read already: text, spreadsheets, small tables. One array a channel; `imaginary` is null for real samples. */
export interface HeldSamples {
  readonly kind: 'held';
  readonly channels: readonly { readonly real: Float64Array; readonly imaginary: Float64Array | null }[];
}

/** One channel of a recording: a sample's value in `unit` is `offset + scale · stored number`. */
export interface RecordingChannel {
  /** As the file gives it, '' where it gives none. */
  readonly name: string;
  /** `FS` where only the converter's full scale is known (full scale is 1), `unknown` where not even that; else V, A, W … */
  readonly unit: string;
  readonly scale: number;
  readonly offset: number;
  /** The magnitude, in `unit`, at which the converter clips; null where nobody said. */
  readonly fullScale: number | null;
}

/** A remark that the file makes about a stretch of samples and of frequency. */
export interface RecordingAnnotation {
  readonly startSample: number;
  /** null: to the end, or a moment. */
  readonly sampleCount: number | null;
  /** Absolute where the recording's centre is known; null where the remark is about all frequencies. */
  readonly lowHz: number | null;
  readonly highHz: number | null;
  readonly label: string;
  readonly comment: string;
}

/**
 * A record of samples against time, evenly spaced: from it spectra are made.
 *
 * Invariants: `sampleCount` ≥ 1 frames; `sampleRateHz` > 0 and finite; at least one channel; annotations lie within the record.
 */
export interface Recording {
  readonly label: string;
  readonly complex: boolean;
  readonly channels: readonly RecordingChannel[];
  readonly samples: StoredSamples | HeldSamples;
  /** Frames, that is samples of one channel. */
  readonly sampleCount: number;
  readonly sampleRateHz: number;
  /** What 0 Hz of the samples is in the world: the tuned frequency of complex samples. null: nobody said. */
  readonly centreHz: number | null;
  /** Largest relative departure of a time step from the mean one where the file states times; null where it states a rate. */
  readonly unevenness: number | null;
  /** What the receiver amplified and attenuated by, where the file says so. Left out or null: nobody said. */
  readonly gainDb?: number | null;
  readonly attenuationDb?: number | null;
  /** As written in the file; not interpreted. */
  readonly takenAt: string | null;
  readonly annotations: readonly RecordingAnnotation[];
  /** Settings the file states, as `name: value` in its own words, for the user to see. */
  readonly stated: readonly { readonly name: string; readonly value: string }[];
}

/** Duration in seconds: the number of sample intervals, not of the gaps between samples. */
export function durationS(recording: Recording): number {
  return recording.sampleCount / recording.sampleRateHz;
}
