import { recordSpectrum } from '../../engine/spectrum/record-spectrum.ts';
import { bytesInMemory, type ByteSource } from '../../model/byte-source.ts';
import type { ReadCapture } from '../../model/capture.ts';
import { InputError } from '../../model/input-problem.ts';
import type { Recording } from '../../model/recording.ts';
import { sumTogether } from '../jobs/sum-together.ts';
import { DEFAULT_SPECTRUM_SETTINGS, type SpectrumSettings } from '../../model/spectrum-settings.ts';
import type { Trace } from '../../model/trace.ts';

/** Where a recording's samples are read: the file that was opened, or the one that its description names. */
export type SamplesOf = (dataFile: string | null) => ByteSource | null;

/**
 * A capture with a trace for every channel of its recordings, made with the given settings. A channel too short or broken is told of
 * and passed over; where none gives a spectrum, the first reason is thrown.
 *
 * @throws InputError
 */
export function withSpectra(
  read: ReadCapture,
  file: string,
  samplesOf: SamplesOf,
  settings: SpectrumSettings = DEFAULT_SPECTRUM_SETTINGS,
  onProgress: (fraction: number, step: string) => void = () => {},
): ReadCapture {
  const channels = (read.recordings ?? []).flatMap((recording) =>
    recording.channels.map((_, channel) => ({ recording, channel })),
  );
  if (channels.length === 0) return read;
  const traces: Trace[] = [];
  const warnings: string[] = [];
  let refusal: InputError | null = null;
  for (const [i, { recording, channel }] of channels.entries()) {
    try {
      const made = recordSpectrum({
        recording,
        bytes: bytesOf(recording, samplesOf, file),
        channel,
        settings,
        waterfall: null,
        file,
        sumParts: sumTogether,
        onProgress: (fraction, step) => onProgress((i + fraction) / channels.length, step),
      });
      traces.push(made.trace);
      warnings.push(...made.warnings);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      refusal ??= error;
      warnings.push(error.message);
    }
  }
  if (traces.length === 0 && read.traces.length === 0 && refusal !== null) throw refusal;
  return {
    ...read,
    traces: [...read.traces, ...traces],
    warnings: [...new Set([...read.warnings, ...warnings])],
  };
}

/** @throws InputError where the samples lie in a file that was not given */
export function bytesOf({ samples }: Recording, samplesOf: SamplesOf, file: string): ByteSource | null {
  if (samples.kind === 'held') return null;
  const source = samplesOf(samples.dataFile);
  if (source !== null) return source;
  throw new InputError({
    file,
    place: 'beside the file',
    found: `no ${samples.dataFile ?? 'samples'}`,
    expected: 'the file that holds the samples',
    wayOut: 'Open both files together, or an archive that holds both.',
  });
}

/** The samples of a file that is in memory, with the files beside it. */
export function samplesInMemory(
  bytes: Uint8Array | ByteSource,
  companions: ReadonlyMap<string, Uint8Array | { readonly length: number }>,
): SamplesOf {
  return (dataFile) => {
    const data = dataFile === null ? bytes : companions.get(dataFile);
    if (data === undefined) return null;
    if (data instanceof Uint8Array) return bytesInMemory(data);
    return 'read' in data ? (data as ByteSource) : null;
  };
}
