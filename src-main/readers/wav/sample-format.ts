import type { ByteSource } from '../../model/byte-source.ts';
import { InputError } from '../../model/input-problem.ts';
import type { SampleType } from '../../model/recording.ts';
import { viewAt } from '../binary/read-at.ts';
import type { Chunk } from './chunks.ts';

/** How a WAV file stores its samples. */
export interface WavFormat {
  readonly type: SampleType;
  readonly channels: number;
  readonly sampleRateHz: number;
  readonly frameBytes: number;
  /** Of the container's bits, those that count (12 bits left-justified in 16). */
  readonly validBits: number;
}

const PCM = 1;
const FLOAT = 3;
const EXTENSIBLE = 0xfffe;
const OTHER_KINDS: Readonly<Record<number, string>> = {
  2: 'compressed samples (ADPCM)',
  6: 'A-law samples',
  7: 'µ-law samples',
  0x11: 'compressed samples (ADPCM)',
  0x55: 'compressed sound (MPEG)',
};
const INTEGER_TYPES: Readonly<Record<number, SampleType>> = { 1: 'u8', 2: 'i16', 3: 'i24', 4: 'i32' };
const FLOAT_TYPES: Readonly<Record<number, SampleType>> = { 4: 'f32', 8: 'f64' };

/**
 * The chunk `fmt `: PCM of 8 to 32 bits (8 and fewer unsigned, more in two's complement), IEEE float of 32 or 64, also in the
 * extensible form, whose sub-format begins with the same number (Multiple Channel Audio Data and WAVE Files, 2001).
 *
 * @throws InputError for anything else, and for rates, channels or frame sizes that contradict each other
 */
export function readFormat(source: ByteSource, file: string, chunk: Chunk, bigEndian: boolean): WavFormat {
  const little = !bigEndian;
  const view = viewAt(source, file, chunk.at, 16, 'the format chunk');
  const tag = view.getUint16(0, little);
  const channels = view.getUint16(2, little);
  const sampleRateHz = view.getUint32(4, little);
  const frameBytes = view.getUint16(12, little);
  const bits = view.getUint16(14, little);
  let kind = tag;
  let validBits = bits;
  if (tag === EXTENSIBLE) {
    const more = viewAt(source, file, chunk.at, 26, 'the extensible format chunk');
    validBits = more.getUint16(18, little) || bits;
    kind = more.getUint16(24, little);
  }
  const refuse = (offset: number, found: string, expected: string): InputError =>
    new InputError({
      file,
      place: `byte ${chunk.at + offset} (format chunk)`,
      found,
      expected,
      wayOut: 'Save the recording as uncompressed PCM or float WAV.',
    });
  if (kind !== PCM && kind !== FLOAT)
    throw refuse(0, OTHER_KINDS[kind] ?? `samples of the kind ${kind}`, 'PCM (1) or IEEE float (3) samples');
  if (channels === 0) throw refuse(2, 'no channels', 'at least one channel');
  if (sampleRateHz === 0) throw refuse(4, 'a sample rate of 0 Hz', 'samples a second above 0');
  const numberBytes = frameBytes / channels;
  const type = (kind === PCM ? INTEGER_TYPES : FLOAT_TYPES)[numberBytes];
  if (type === undefined || bits > 8 * numberBytes || bits === 0)
    throw refuse(
      12,
      `${frameBytes} bytes a frame for ${channels} channel(s) of ${bits} bits`,
      kind === PCM ? '8, 16, 24 or 32 bits a sample, frames without gaps' : '32 or 64 bits a sample',
    );
  return { type, channels, sampleRateHz, frameBytes, validBits: Math.min(validBits, 8 * numberBytes) };
}
