import type { ByteSource } from './byte-source.ts';
import { SAMPLE_BYTES, type Recording, type SampleType, type StoredSamples } from './recording.ts';

/** A run of samples of one channel, in the channel's unit. `imaginary` is null for real samples. */
export interface SampleBlock {
  readonly real: Float64Array;
  readonly imaginary: Float64Array | null;
}

/**
 * Samples `from` (included) to `from + count` (excluded) of one channel, in the channel's unit. Not-a-numbers and infinities come
 * through as they are stored. Memory: the block and, while reading, the bytes of its frames; so stream a long record in blocks.
 *
 * @param bytes the file that holds the samples; not looked at where the recording holds them itself
 * @param from the first frame, ≥ 0
 * @param into arrays of at least `count` that are written over in place of new ones; left out: new ones
 * @param count frames wanted, ≥ 0; fewer are given where the record (or a file that became shorter) ends before
 */
export function readSamples(
  recording: Recording,
  bytes: ByteSource | null,
  channel: number,
  from: number,
  count: number,
  into: SampleBlock | null = null,
): SampleBlock {
  const wanted = Math.max(0, Math.min(count, recording.sampleCount - from));
  const { samples, complex } = recording;
  const { scale, offset } = recording.channels[channel]!;
  if (samples.kind === 'held') {
    const held = samples.channels[channel]!;
    return {
      real: scaled(held.real.slice(from, from + wanted), scale, offset),
      imaginary: held.imaginary === null ? null : scaled(held.imaginary.slice(from, from + wanted), scale, offset),
    };
  }
  if (bytes === null) throw new Error('The samples of this recording are in a file, and none was given.');

  const real = into?.real.subarray(0, wanted) ?? new Float64Array(wanted);
  const imaginary = complex ? (into?.imaginary?.subarray(0, wanted) ?? new Float64Array(wanted)) : null;
  const numbersPerSample = complex ? 2 : 1;
  const numberBytes = SAMPLE_BYTES[samples.type];
  const frameBytes = numberBytes * numbersPerSample * recording.channels.length;
  const channelBytes = channel * numbersPerSample * numberBytes;
  const number = NUMBER_READERS[samples.type];
  const little = !samples.bigEndian;

  let done = 0;
  for (const { at, frames } of runsOf(samples, from, wanted, frameBytes)) {
    const run = bytes.read(at, at + frames * frameBytes);
    const whole = Math.min(frames, Math.floor(run.byteLength / frameBytes));
    const stored = little ? numbersIn(run, samples.type) : null;
    if (stored !== null) {
      const perFrame = numbersPerSample * recording.channels.length;
      const place = { from: channel * numbersPerSample, perFrame, scale, offset };
      unpack(stored, place, real.subarray(done, done + whole));
      if (imaginary !== null)
        unpack(stored, { ...place, from: place.from + 1 }, imaginary.subarray(done, done + whole));
    } else {
      const view = new DataView(run.buffer, run.byteOffset, run.byteLength);
      for (let i = 0, p = channelBytes; i < whole; i++, p += frameBytes) {
        real[done + i] = offset + scale * number(view, p, little);
        if (imaginary !== null) imaginary[done + i] = offset + scale * number(view, p + numberBytes, little);
      }
    }
    done += whole;
    if (whole < frames) break;
  }
  if (done === wanted) return { real, imaginary };
  return { real: real.subarray(0, done), imaginary: imaginary?.subarray(0, done) ?? null };
}

type Numbers = Int8Array | Uint8Array | Int16Array | Int32Array | Uint32Array | Float32Array | Float64Array;

const IS_LITTLE = new Uint8Array(Uint16Array.of(1).buffer)[0] === 1;

/** Little-endian bytes as the numbers they are, without a call for each; null where the machine has no such numbers. */
function numbersIn(run: Uint8Array, type: SampleType): Numbers | null {
  const kind = KINDS[type];
  if (kind === undefined || !IS_LITTLE) return null;
  const size = SAMPLE_BYTES[type];
  // numbers must lie at multiples of their size
  const { buffer, byteOffset, byteLength } = run.byteOffset % size === 0 ? run : run.slice();
  return new kind(buffer, byteOffset, Math.floor(byteLength / size));
}

const KINDS: Partial<Record<SampleType, new (buffer: ArrayBufferLike, at: number, count: number) => Numbers>> = {
  i8: Int8Array,
  u8: Uint8Array,
  i16: Int16Array,
  i32: Int32Array,
  u32: Uint32Array,
  f32: Float32Array,
  f64: Float64Array,
};

/** The first number of each frame from `from` on, scaled. */
function unpack(
  stored: Numbers,
  { from, perFrame, scale, offset }: { from: number; perFrame: number; scale: number; offset: number },
  to: Float64Array,
): void {
  for (let i = 0, p = from; i < to.length; i++, p += perFrame) to[i] = offset + scale * stored[p]!;
}

/** Places in the file where the wanted frames stand: one run a stretch that they touch. */
function* runsOf(
  { stretches }: StoredSamples,
  from: number,
  count: number,
  frameBytes: number,
): Generator<{ at: number; frames: number }> {
  let first = 0;
  let left = count;
  for (const { offsetBytes, sampleCount } of stretches) {
    if (left === 0) return;
    const skip = Math.max(0, from - first);
    if (skip < sampleCount) {
      const frames = Math.min(left, sampleCount - skip);
      yield { at: offsetBytes + skip * frameBytes, frames };
      left -= frames;
    }
    first += sampleCount;
  }
}

export type NumberReader = (view: DataView, at: number, little: boolean) => number;

/** How a stored number is read at a byte of a view. */
export const NUMBER_READERS: Readonly<Record<SampleType, NumberReader>> = {
  i8: (view, at) => view.getInt8(at),
  u8: (view, at) => view.getUint8(at),
  i16: (view, at, little) => view.getInt16(at, little),
  u16: (view, at, little) => view.getUint16(at, little),
  i24: (view, at, little) =>
    little
      ? view.getUint16(at, true) | (view.getInt8(at + 2) << 16)
      : view.getUint16(at + 1, false) | (view.getInt8(at) << 16),
  i32: (view, at, little) => view.getInt32(at, little),
  u32: (view, at, little) => view.getUint32(at, little),
  i64: (view, at, little) => Number(view.getBigInt64(at, little)),
  u64: (view, at, little) => Number(view.getBigUint64(at, little)),
  f32: (view, at, little) => view.getFloat32(at, little),
  f64: (view, at, little) => view.getFloat64(at, little),
};

function scaled(values: Float64Array, scale: number, offset: number): Float64Array {
  if (scale === 1 && offset === 0) return values;
  for (let i = 0; i < values.length; i++) values[i] = offset + scale * values[i]!;
  return values;
}
