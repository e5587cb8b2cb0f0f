import { Inflate } from 'fflate';
import { InputError } from '../../model/input-problem.ts';

/** A file inside a ZIP archive, as the central directory states it. */
export interface ZipEntry {
  readonly name: string;
  readonly method: number;
  readonly compressedBytes: number;
  readonly statedBytes: number;
  readonly localHeaderAt: number;
}

const END_SIGNATURE = 0x06054b50;
const CENTRAL_SIGNATURE = 0x02014b50;
const LOCAL_SIGNATURE = 0x04034b50;
const END_BYTES = 22;
const MOST_COMMENT = 0xffff;
const MOST_ENTRIES = 10_000;
/** All entries together may expand to this; a table of a million rows needs a fifth. */
const MOST_EXPANDED = 1 << 28;
/** Deflate reaches 1032 : 1 on zeros; written tables stay far below 100 : 1. What is small may be anything. */
const MOST_RATIO = 100;
const SMALL = 1 << 20;
/** Compressed bytes given to the inflater at a time: what they expand to is counted before the next. */
const PIECE = 16_384;

/** True for bytes that begin as a ZIP archive with at least one file: a spreadsheet, or nothing that is read here. */
export function isSpreadsheet(head: Uint8Array): boolean {
  return head[0] === 0x50 && head[1] === 0x4b && head[2] === 3 && head[3] === 4;
}

/**
 * The central directory of a ZIP archive (PKWARE APPNOTE 6.3, sections 4.3.12 and 4.3.16; ISO/IEC 21320-1), without ZIP64.
 *
 * @throws InputError where it is missing, damaged or names more files than any spreadsheet has
 */
function zipEntries(bytes: Uint8Array, file: string): ZipEntry[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  let end = bytes.length - END_BYTES;
  const least = Math.max(0, end - MOST_COMMENT);
  while (end >= least && view.getUint32(end, true) !== END_SIGNATURE) end--;
  if (end < least) throw problem(file, 'the end of the file', 'no directory of a ZIP archive', 'one');
  const count = view.getUint16(end + 10, true);
  let at = view.getUint32(end + 16, true);
  if (count > MOST_ENTRIES || at === 0xffffffff)
    throw problem(
      file,
      `byte ${end}`,
      `${count} files, or an archive of 64-bit sizes`,
      `at most ${MOST_ENTRIES} files`,
    );
  const entries: ZipEntry[] = [];
  for (let e = 0; e < count; e++) {
    if (at + 46 > bytes.length || view.getUint32(at, true) !== CENTRAL_SIGNATURE)
      throw problem(file, `byte ${at}`, 'a damaged directory', `entry ${e + 1} of ${count}`);
    const nameBytes = view.getUint16(at + 28, true);
    const next = at + 46 + nameBytes + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
    if (next > bytes.length) throw problem(file, `byte ${at}`, 'a damaged directory', `entry ${e + 1} of ${count}`);
    let name = '';
    for (let i = 0; i < nameBytes; i++) name += String.fromCharCode(bytes[at + 46 + i]!);
    if ((view.getUint16(at + 8, true) & 1) !== 0)
      throw problem(file, `byte ${at}`, 'an encrypted file', 'a spreadsheet without a password');
    entries.push({
      name,
      method: view.getUint16(at + 10, true),
      compressedBytes: view.getUint32(at + 20, true),
      statedBytes: view.getUint32(at + 24, true),
      localHeaderAt: view.getUint32(at + 42, true),
    });
    at = next;
  }
  return entries;
}

/** An archive whose entries may be expanded as long as they do not grow too large together, also where they share their bytes. */
export class ZipArchive {
  readonly entries: readonly ZipEntry[];
  readonly #bytes: Uint8Array;
  readonly #file: string;
  #left: number;

  /** @throws InputError for an archive without a directory */
  constructor(bytes: Uint8Array, file: string) {
    this.entries = zipEntries(bytes, file);
    this.#bytes = bytes;
    this.#file = file;
    this.#left = Math.min(MOST_EXPANDED, Math.max(SMALL, MOST_RATIO * bytes.length));
  }

  /** The content of the entry of this name, null where there is none. Throws InputError. */
  content(name: string): Uint8Array | null {
    const entry = this.entries.find((candidate) => candidate.name.toLowerCase() === name.toLowerCase());
    if (entry === undefined) return null;
    const content = expandEntry(this.#bytes, entry, this.#file, this.#left);
    this.#left -= content.length;
    return content;
  }
}

/**
 * The content of an entry. Its stated size is checked before anything is expanded, and what really comes out is counted piece by piece:
 * an archive that expands without end is stopped at the limit.
 *
 * @throws InputError for an entry that is damaged, compressed in another way, or expands too far
 */
function expandEntry(bytes: Uint8Array, entry: ZipEntry, file: string, limit: number): Uint8Array {
  const place = `“${entry.name.slice(0, 60)}” in the archive`;
  const { localHeaderAt: at, compressedBytes, statedBytes, method } = entry;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  if (at + 30 > bytes.length || view.getUint32(at, true) !== LOCAL_SIGNATURE)
    throw problem(file, place, `no file at byte ${at}`, 'a file');
  const from = at + 30 + view.getUint16(at + 26, true) + view.getUint16(at + 28, true);
  if (from + compressedBytes > bytes.length)
    throw problem(file, place, 'the end of the archive', `${compressedBytes} bytes`);
  if (statedBytes > limit) throw tooLarge(file, place, statedBytes, limit);
  const packed = bytes.subarray(from, from + compressedBytes);
  if (method === 0) return packed;
  if (method !== 8) throw problem(file, place, `compression of the kind ${method}`, 'deflate or none');

  const pieces: Uint8Array[] = [];
  let expanded = 0;
  const inflate = new Inflate((piece) => {
    pieces.push(piece);
    expanded += piece.length;
  });
  try {
    for (let i = 0; i < packed.length || i === 0; i += PIECE) {
      inflate.push(packed.subarray(i, i + PIECE), i + PIECE >= packed.length);
      if (expanded > limit) break;
    }
  } catch (error) {
    throw problem(file, place, `damaged compressed data (${String(error).slice(0, 80)})`, 'whole data');
  }
  if (expanded > limit) throw tooLarge(file, place, expanded, limit);
  const out = new Uint8Array(expanded);
  let to = 0;
  for (const piece of pieces) {
    out.set(piece, to);
    to += piece.length;
  }
  return out;
}

function tooLarge(file: string, place: string, found: number, limit: number): InputError {
  return problem(file, place, `${found} bytes or more when expanded`, `at most ${limit}`);
}

function problem(file: string, place: string, found: string, expected: string): InputError {
  return new InputError({
    file,
    place,
    found,
    expected,
    wayOut: 'Save the spreadsheet again, or export the table as CSV.',
  });
}
