import { recordSpectrum, type RecordSpectrum } from '../../engine/spectrum/record-spectrum.ts';
import { InputError } from '../../model/input-problem.ts';
import { readCapture } from '../../readers/read-capture.ts';
import type { SpectrumJob } from '../jobs/jobs.ts';
import { bytesOf, samplesInMemory } from './spectra-of-recordings.ts';

/** Reads a file again and makes one spectrum of one of its recordings. Throws InputError. */
export function spectrumOf(
  { file, bytes, hints, recording, channel, settings, waterfall }: SpectrumJob,
  onProgress: (fraction: number, step: string) => void,
): RecordSpectrum {
  const { recordings = [] } = readCapture(bytes, file, new Map(), hints);
  const chosen = recordings[recording];
  if (chosen?.channels[channel] === undefined)
    throw new InputError({
      file,
      place: `recording ${recording + 1}, channel ${channel + 1}`,
      found: chosen === undefined ? `${recordings.length} recordings` : `${chosen.channels.length} channels`,
      expected: 'one of those there are',
      wayOut: 'Choose another.',
    });
  return recordSpectrum({
    recording: chosen,
    bytes: bytesOf(chosen, samplesInMemory(bytes, new Map()), file),
    channel,
    settings,
    waterfall,
    file,
    onProgress,
  });
}
