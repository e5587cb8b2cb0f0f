import type { ByteSource } from '../../model/byte-source.ts';
import { InputError } from '../../model/input-problem.ts';
import { readSamples, type SampleBlock } from '../../model/read-samples.ts';
import type { Recording } from '../../model/recording.ts';
import type { WindowName } from '../../model/spectrum-settings.ts';
import { addSums, AveragedPeriodogram, type OnSegments, type PeriodogramSums } from './averaged-periodogram.ts';
import type { SegmentPlan } from './plan-segments.ts';
import { windowWeights } from './windows.ts';

/** Samples of a record, in whole segments; no segment reaches over the end of one. */
export interface Stretch {
  readonly from: number;
  readonly count: number;
}

/** A part of the work that is summed by itself. */
export interface RecordPart {
  readonly stretches: readonly Stretch[];
  /** Samples at the end that the next part has too, so that clipped ones are counted once. */
  readonly sharedSamples: number;
}

export interface PartSums {
  readonly sums: PeriodogramSums;
  /** Samples at full scale. */
  readonly clipped: number;
}

/** The periodograms of a record, cut into parts. Plain data: it can be sent to another thread. */
export interface PartsWork {
  readonly recording: Recording;
  readonly channel: number;
  readonly window: WindowName;
  readonly plan: SegmentPlan;
  readonly parts: readonly RecordPart[];
  readonly file: string;
}

/** Hears how many samples were taken since it was last told. */
export type OnSamples = (samples: number) => void;

/** Adds the parts up, first to last. Who does it decides nothing of the result. */
export type SumParts = (work: PartsWork, bytes: ByteSource | null, onSamples: OnSamples) => PartSums;

/**
 * A record is cut into so many parts at most, whoever sums them: the order of additions, and so the last bit, must not depend on the
 * number of threads. A choice of this tool: enough for a few threads to share evenly, few enough that the parts' ends cost nothing.
 */
const MOST_PARTS = 16;
/** Segments of a real record that are transformed at once. */
const TOGETHER = 4;
/** Samples read at once: 1 MB of doubles of an I/Q record, so that they are near when they are weighed. */
const BLOCK = 2 ** 16;

/** One stretch cut into parts of whole segments; several stretches (gates) stay one part. Empty where no segment fits. */
export function partsOf(
  stretches: readonly Stretch[],
  { windowPoints, stepPoints }: Pick<SegmentPlan, 'windowPoints' | 'stepPoints'>,
): readonly RecordPart[] {
  const segmentsIn = ({ count }: Stretch): number => Math.floor((count - windowPoints) / stepPoints) + 1;
  const whole = stretches.filter((stretch) => segmentsIn(stretch) > 0);
  const samplesOf = (segments: number): number => windowPoints + (segments - 1) * stepPoints;
  if (whole.length !== 1)
    return whole.length === 0
      ? []
      : [{ stretches: whole.map((s) => ({ ...s, count: samplesOf(segmentsIn(s)) })), sharedSamples: 0 }];

  const { from } = whole[0]!;
  const segments = segmentsIn(whole[0]!);
  const perPart = TOGETHER * Math.ceil(segments / (TOGETHER * MOST_PARTS));
  const parts: RecordPart[] = [];
  for (let first = 0; first < segments; first += perPart) {
    const own = Math.min(perPart, segments - first);
    parts.push({
      stretches: [{ from: from + first * stepPoints, count: samplesOf(own) }],
      sharedSamples: first + own === segments ? 0 : windowPoints - stepPoints,
    });
  }
  return parts;
}

/** Sums parts one after the other in the memory of one; made once for all parts that a thread does. */
export class PartSummer {
  readonly #work: PartsWork;
  readonly #bytes: ByteSource | null;
  readonly #periodogram: AveragedPeriodogram;
  readonly #block: SampleBlock;

  constructor(work: PartsWork, bytes: ByteSource | null, onSegments: OnSegments | null = null) {
    const { plan, recording, window } = work;
    this.#work = work;
    this.#bytes = bytes;
    const weights = windowWeights(window, plan.windowPoints);
    this.#periodogram = new AveragedPeriodogram(plan, weights, recording.complex, onSegments);
    const block = (): Float64Array => new Float64Array(Math.min(BLOCK, recording.sampleCount));
    this.#block = { real: block(), imaginary: recording.complex ? block() : null };
  }

  /** @throws InputError where the file became shorter */
  sum(part: number, onSamples: OnSamples): PartSums {
    const { recording, channel, parts, file } = this.#work;
    const { stretches, sharedSamples } = parts[part]!;
    const periodogram = this.#periodogram;
    const clipsAt = clippingLevel(recording, channel);
    let clipped = 0;
    periodogram.clear();
    for (const [i, { from, count }] of stretches.entries()) {
      const countedTo = count - (i === stretches.length - 1 ? sharedSamples : 0);
      for (let done = 0; done < count;) {
        const wanted = Math.min(BLOCK, count - done);
        const { real, imaginary } = readSamples(recording, this.#bytes, channel, from + done, wanted, this.#block);
        if (real.length < wanted) throw cutShort(file, recording, from + done + real.length, from + count);
        if (clipsAt !== null) {
          const counted = Math.min(wanted, Math.max(0, countedTo - done));
          clipped += countClipped(real, counted, clipsAt) + countClipped(imaginary, counted, clipsAt);
        }
        periodogram.push(real, imaginary);
        done += wanted;
        onSamples(wanted);
      }
      periodogram.gap();
    }
    return { sums: periodogram.sums(), clipped };
  }
}

/** All parts in one thread. `onSegments` hears of every transform in the order of time. */
export function sumParts(
  work: PartsWork,
  bytes: ByteSource | null,
  onSamples: OnSamples,
  onSegments: OnSegments | null = null,
): PartSums {
  const summer = new PartSummer(work, bytes, onSegments);
  let total: PartSums | null = null;
  for (let part = 0; part < work.parts.length; part++) total = addPart(total, summer.sum(part, onSamples));
  return total!;
}

/** The sums of the parts so far and of the next one. */
export function addPart(total: PartSums | null, next: PartSums): PartSums {
  if (total === null) return next;
  return { sums: addSums(total.sums, next.sums), clipped: total.clipped + next.clipped };
}

/** Magnitude from which a sample counts as clipped: one step of the converter below full scale; null where nobody stated that. */
export function clippingLevel({ channels, samples }: Recording, channel: number): number | null {
  const { fullScale, scale } = channels[channel]!;
  if (fullScale === null) return null;
  const isWhole = samples.kind === 'stored' && !samples.type.startsWith('f');
  return fullScale - (isWhole ? 1.001 * Math.abs(scale) : 1e-9 * fullScale);
}

function countClipped(samples: Float64Array | null, to: number, level: number): number {
  let count = 0;
  if (samples !== null) for (let i = 0; i < to; i++) if (Math.abs(samples[i]!) >= level) count++;
  return count;
}

function cutShort(file: string, recording: Recording, done: number, expected: number): InputError {
  return new InputError({
    file,
    place: recording.label === '' ? 'recording' : `recording ${recording.label}`,
    found: `${done} samples where the file had ${expected} when it was opened`,
    expected: 'a file that does not change while it is read',
    wayOut: 'Wait until the recording is complete, then open it again.',
  });
}
