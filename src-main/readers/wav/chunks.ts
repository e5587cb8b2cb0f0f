import type { ByteSource } from '../../model/byte-source.ts';
import { InputError } from '../../model/input-problem.ts';
import { characters, viewAt } from '../binary/read-at.ts';

/** One chunk of a RIFF file: where its content lies, and how much of it there is. */
export interface Chunk {
  readonly id: string;
  readonly at: number;
  /** Bytes within the file. */
  readonly size: number;
  /** What its header states; more than `size` where the file is cut off. Null where the header leaves it open. */
  readonly statedSize: number | null;
}

export interface Chunks {
  readonly bigEndian: boolean;
  readonly chunks: readonly Chunk[];
  readonly warnings: readonly string[];
}

/** A 32-bit size of all ones says: see the 64-bit one, or nobody knows yet. */
const OPEN_SIZE = 0xffffffff;
/** More chunks than any recorder writes: a file of nothing but headers is not walked for ever. */
const MOST_CHUNKS = 1 << 20;

/**
 * The chunks of a RIFF, RIFX, RF64 or BW64 file with the form WAVE, in order.
 *
 * Sizes of 64 bits come from the chunk `ds64` (EBU Tech 3306; ITU-R BS.2088). A chunk of odd size is followed by one padding byte
 * (Multimedia Programming Interface and Data Specifications 1.0, 1991). The size in the file's head is only compared.
 *
 * @throws InputError for another form, or a head that is cut off
 */
export function readChunks(source: ByteSource, file: string): Chunks {
  const head = viewAt(source, file, 0, 12, 'the RIFF head');
  const kind = characters(head, 0, 4);
  const form = characters(head, 8, 12);
  if (form !== 'WAVE')
    throw new InputError({
      file,
      place: 'byte 8',
      found: `a RIFF file of the form “${form.replace(/[^ -~]/g, '·')}”`,
      expected: 'the form WAVE: a recording of samples',
      wayOut: 'Save the recording as WAV.',
    });
  const bigEndian = kind === 'RIFX';
  const wide = kind === 'RF64' || kind === 'BW64';
  const little = !bigEndian;
  // the next read may overwrite the head
  const statedLength = head.getUint32(4, little);
  const warnings: string[] = [];
  const chunks: Chunk[] = [];
  let sizes = new Map<string, number>();

  let at = 12;
  while (at + 8 <= source.length) {
    const view = viewAt(source, file, at, 8, 'a chunk head');
    const id = characters(view, 0, 4);
    const stated = view.getUint32(4, little);
    if (!/^[ -~]{4}$/.test(id)) {
      warnings.push(`From byte ${at} on there is no chunk any more; ${source.length - at} bytes were passed over.`);
      at = source.length;
      break;
    }
    const open = stated === OPEN_SIZE;
    const full = open ? (wide ? (sizes.get(id) ?? null) : null) : stated;
    const left = source.length - at - 8;
    const size = Math.min(full ?? left, left);
    if (id === 'ds64' && wide) sizes = wideSizes(source, file, at + 8, size);
    chunks.push({ id, at: at + 8, size, statedSize: full });
    if (chunks.length >= MOST_CHUNKS)
      throw new InputError({
        file,
        place: `byte ${at}`,
        found: `more than ${MOST_CHUNKS} chunks`,
        expected: 'a recording',
        wayOut: 'Split the file, or save it again with one chunk of data.',
      });
    at += 8 + size + (size % 2);
  }
  if (at < source.length) warnings.push(`${source.length - at} bytes behind the last chunk were passed over.`);
  if (!wide && statedLength !== OPEN_SIZE && statedLength !== 0 && statedLength + 8 > source.length + 1)
    warnings.push(`The head states ${statedLength + 8} bytes, the file has ${source.length}: it seems cut off.`);
  return { bigEndian, chunks, warnings };
}

/** The sizes that `ds64` states: of `data`, and of whatever its table names. */
function wideSizes(source: ByteSource, file: string, at: number, size: number): Map<string, number> {
  const view = viewAt(source, file, at, Math.max(24, Math.min(size, 24 + 4 + 12 * 1024)), 'the chunk of 64-bit sizes');
  const sizes = new Map([['data', wide(view, 8)]]);
  const entries = view.byteLength >= 28 ? view.getUint32(24, true) : 0;
  for (let e = 0; e < entries && 28 + 12 * (e + 1) <= view.byteLength; e++)
    sizes.set(characters(view, 28 + 12 * e, 32 + 12 * e), wide(view, 32 + 12 * e));
  return sizes;
}

function wide(view: DataView, at: number): number {
  return view.getUint32(at, true) + view.getUint32(at + 4, true) * 2 ** 32;
}
