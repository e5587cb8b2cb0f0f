import { gatesOf, recordInTime } from '../../engine/record-in-time.ts';
import { recordSpectrum, type RecordSpectrum } from '../../engine/spectrum/record-spectrum.ts';
import type { ByteSource } from '../../model/byte-source.ts';
import { InputError } from '../../model/input-problem.ts';
import { durationS, type Recording } from '../../model/recording.ts';
import type { TimeStructure } from '../../model/time-structure.ts';
import { readCapture } from '../../readers/read-capture.ts';
import type { SpectrumJob, TimeJob } from '../jobs/jobs.ts';
import { sumTogether } from '../jobs/sum-together.ts';
import { bytesOf, samplesInMemory } from './spectra-of-recordings.ts';

type Progress = (fraction: number, step: string) => void;

/** Reads a file again and makes one spectrum of one of its recordings. Throws InputError. */
export function spectrumOf(job: SpectrumJob, onProgress: Progress): RecordSpectrum {
  const { file, channel, settings, waterfall, gated = null } = job;
  const { recording, bytes } = chosenOf(job);
  const gates =
    gated === null
      ? {}
      : {
          gates: gatesOf(
            recordInTime({ recording, bytes, channel, stepS: gated.stepS, file, onProgress }),
            durationS(recording),
            gated.which,
          ),
        };
  return recordSpectrum({
    recording,
    bytes,
    channel,
    settings,
    waterfall,
    file,
    onProgress,
    sumParts: sumTogether,
    ...gates,
  });
}

/** Reads a file again and tells how one of its recordings changes with time. Throws InputError. */
export function timeStructureOf(job: TimeJob, onProgress: Progress): TimeStructure {
  const { file, channel, stepS } = job;
  return recordInTime({ ...chosenOf(job), channel, stepS, file, onProgress });
}

function chosenOf({ file, bytes, companions = new Map(), hints, recording, channel }: Omit<TimeJob, 'stepS'>): {
  recording: Recording;
  bytes: ByteSource | null;
} {
  const { recordings = [] } = readCapture(bytes, file, companions, hints);
  const chosen = recordings[recording];
  if (chosen?.channels[channel] !== undefined)
    return { recording: chosen, bytes: bytesOf(chosen, samplesInMemory(bytes, companions), file) };
  throw new InputError({
    file,
    place: `recording ${recording + 1}, channel ${channel + 1}`,
    found: chosen === undefined ? `${recordings.length} recordings` : `${chosen.channels.length} channels`,
    expected: 'one of those there are',
    wayOut: 'Choose another.',
  });
}
