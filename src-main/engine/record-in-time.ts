import type { ByteSource } from '../model/byte-source.ts';
import { InputError } from '../model/input-problem.ts';
import { readSamples } from '../model/read-samples.ts';
import { durationS, type Recording } from '../model/recording.ts';
import type { Repetition, TimeStructure } from '../model/time-structure.ts';
import { formatFrequency, formatWithDoubt } from '../units/format.ts';
import type { Gate } from './spectrum/record-spectrum.ts';
import { spectrumScale } from './spectrum/level-scale.ts';
import { Envelope } from './timing/envelope.ts';
import { findBursts } from './timing/find-bursts.ts';
import { findRepetition } from './timing/find-repetition.ts';

export interface RecordInTimeInput {
  readonly recording: Recording;
  /** The file that holds the samples; null where the recording holds them itself. */
  readonly bytes: ByteSource | null;
  readonly channel: number;
  /** Length of a step of the envelope; bursts shorter than it are averaged with what is beside them. */
  readonly stepS: number;
  readonly file: string;
  readonly onProgress?: (fraction: number, step: string) => void;
}

/** Samples read at once. */
const BLOCK = 2 ** 18;
/** More steps than this no plot shows and no memory should hold. */
const MOST_STEPS = 4_000_000;

/**
 * How a record's power changes with time: its envelope, bursts in it, and the rate at which they repeat.
 *
 * @throws InputError where a step is shorter than a sample, or so short that the steps cannot be held
 */
export function recordInTime(input: RecordInTimeInput): TimeStructure {
  const { recording, channel, stepS, file } = input;
  const progress = input.onProgress ?? (() => {});
  const perStep = stepS * recording.sampleRateHz;
  if (!(perStep >= 1) || recording.sampleCount / perStep > MOST_STEPS || recording.sampleCount < perStep)
    throw new InputError({
      file,
      place: recording.label === '' ? 'recording' : `recording ${recording.label}`,
      found: `steps of ${stepS} s`,
      expected: `from ${Math.max(1 / recording.sampleRateHz, durationS(recording) / MOST_STEPS)} s to the record’s ${durationS(recording)} s`,
      wayOut: 'Choose a step within these.',
    });
  const envelope = new Envelope(perStep);
  for (let done = 0; done < recording.sampleCount;) {
    progress(done / recording.sampleCount, 'envelope');
    const { real, imaginary } = readSamples(recording, input.bytes, channel, done, BLOCK);
    if (real.length === 0) break;
    envelope.push(real, imaginary);
    done += real.length;
  }
  const { zeroDb } = spectrumScale(recording.channels[channel]!.unit, null);
  const powerDb = envelope.powers().map((power) => (power > 0 ? 10 * Math.log10(power) + zeroDb : -Infinity));
  const { bursts, baseDb, thresholdDb } = findBursts(powerDb, stepS, 0);
  const repetition = findRepetition(bursts, stepS);
  progress(1, 'done');
  return { powerDb, startS: 0, stepS, baseDb, thresholdDb, bursts, repetition, why: whyOf(bursts.length, repetition) };
}

/** The parts of a record in which it is on, or those in which it is quiet, for a spectrum of each. */
export function gatesOf({ bursts }: TimeStructure, endS: number, which: 'on' | 'quiet'): readonly Gate[] {
  if (which === 'on') return bursts;
  const edges = [0, ...bursts.flatMap(({ startS, endS: end }) => [startS, end]), endS];
  const gates: Gate[] = [];
  for (let i = 0; i + 1 < edges.length; i += 2)
    if (edges[i + 1]! > edges[i]!) gates.push({ startS: edges[i]!, endS: edges[i + 1]! });
  return gates;
}

function whyOf(bursts: number, repetition: Repetition | null): string {
  if (bursts === 0) return 'The power stays within its own scatter: no burst stands out at this step.';
  if (repetition === null)
    return `${bursts} bursts stand out; they are too few, or lie too unevenly, for a rate to be claimed.`;
  const { rateHz, rateSigmaHz, skipped, seen } = repetition;
  const places =
    skipped === 0 ? 'none of its places passed over' : `${skipped} of ${skipped + seen} places passed over`;
  return `${seen} bursts repeat at ${formatWithDoubt(rateHz, rateSigmaHz)} Hz (one every ${formatFrequency(1 / rateHz).replace('Hz', 's')}), ${places}.`;
}
