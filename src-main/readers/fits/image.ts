import type { ByteSource } from '../../model/byte-source.ts';
import { NUMBER_READERS } from '../../model/read-samples.ts';
import type { SampleType } from '../../model/recording.ts';
import { viewAt } from '../binary/read-at.ts';
import { numberOf, problem, type HeaderDataUnit } from './header.ts';

const TYPES: Readonly<Record<number, SampleType>> = {
  8: 'u8',
  16: 'i16',
  32: 'i32',
  64: 'i64',
  [-32]: 'f32',
  [-64]: 'f64',
};
/** Images are read as a whole. */
const MOST_PIXELS = 1 << 26;

/**
 * The physical values of an image, first axis fastest: BZERO + BSCALE · stored, NaN for BLANK and for anything not finite (FITS
 * Standard 4.0, sections 4.4.2 and 5).
 *
 * @throws InputError where the data are not all there, or too many
 */
export function imageValues(source: ByteSource, file: string, unit: HeaderDataUnit): Float64Array {
  const { cards, shape, dataAt } = unit;
  const bits = numberOf(cards, 'BITPIX') ?? 0;
  const type = TYPES[bits];
  if (type === undefined) throw problem(file, dataAt, `BITPIX = ${bits}`, '8, 16, 32, 64, −32 or −64');
  const pixels = shape.reduce((n, extent) => n * extent, 1);
  if (pixels > MOST_PIXELS) throw problem(file, dataAt, `${pixels} pixels`, `at most ${MOST_PIXELS}`);
  const bytesEach = Math.abs(bits) / 8;
  const view = viewAt(source, file, dataAt, pixels * bytesEach, 'image data');
  const scale = numberOf(cards, 'BSCALE') ?? 1;
  const zero = numberOf(cards, 'BZERO') ?? 0;
  const blank = bits > 0 ? numberOf(cards, 'BLANK') : null;
  const read = NUMBER_READERS[type];
  const values = new Float64Array(pixels);
  for (let i = 0, p = 0; i < pixels; i++, p += bytesEach) {
    const stored = read(view, p, false);
    const value = zero + scale * stored;
    values[i] = stored === blank || !Number.isFinite(value) ? NaN : value;
  }
  return values;
}
