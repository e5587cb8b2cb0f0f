import type { ByteSource } from '../../model/byte-source.ts';
import { InputError } from '../../model/input-problem.ts';
import { characters, viewAt } from '../binary/read-at.ts';

/** A file inside an archive, and where its bytes lie. */
export interface TarEntry {
  readonly name: string;
  readonly at: number;
  readonly size: number;
}

const BLOCK = 512;
const MOST_ENTRIES = 10_000;
const MOST_EXTENDED_BYTES = 1 << 20;

/** True where the first block is a tar header: its checksum (POSIX.1-1988 ustar) is right. */
export function isTar(source: ByteSource): boolean {
  if (source.length < BLOCK) return false;
  const bytes = source.read(0, BLOCK);
  return bytes[0] !== 0 && hasChecksum(new DataView(bytes.buffer, bytes.byteOffset, bytes.length));
}

/**
 * The regular files of a tar archive: ustar, with the long names and sizes of pax (POSIX.1-2001) and GNU headers. Folders, links and
 * devices are passed over: nothing is ever unpacked.
 *
 * @throws InputError where a header is damaged or an entry reaches beyond the file
 */
export function tarEntries(source: ByteSource, file: string): TarEntry[] {
  const entries: TarEntry[] = [];
  let longName: string | null = null;
  let longSize: number | null = null;
  for (let at = 0, headers = 0; at + BLOCK <= source.length; headers++) {
    const view = viewAt(source, file, at, BLOCK, 'a tar header');
    if (view.getUint8(0) === 0) break; // a block of zeros ends the archive
    if (headers > MOST_ENTRIES || !hasChecksum(view))
      throw problem(file, at, headers > MOST_ENTRIES ? `more than ${MOST_ENTRIES} entries` : 'a damaged header');
    const kind = String.fromCharCode(view.getUint8(156));
    const plainName = [textIn(view, 345, 500), textIn(view, 0, 100)].filter((part) => part !== '').join('/');
    const name: string = kind === 'L' || kind === 'x' || kind === 'g' ? plainName : (longName ?? plainName);
    const size: number = (kind === 'x' || kind === 'L' ? null : longSize) ?? sizeIn(view);
    const content = at + BLOCK;
    if (!Number.isSafeInteger(size) || size < 0 || content + size > source.length)
      throw problem(
        file,
        at,
        `“${name.slice(0, 60)}” with ${size} bytes, of which ${source.length - content} are there`,
      );
    if (kind === 'L' || kind === 'x') {
      if (size > MOST_EXTENDED_BYTES) throw problem(file, at, `an extended header of ${size} bytes`);
      const text = characters(viewAt(source, file, content, size, 'an extended header'));
      if (kind === 'L') longName = text.replace(/\0.*$/s, '');
      else {
        longName = /(?:^|\n)\d+ path=([^\n]*)\n/.exec(text)?.[1] ?? longName;
        const stated = /(?:^|\n)\d+ size=(\d{1,16})\n/.exec(text)?.[1];
        longSize = stated === undefined ? longSize : Number(stated);
      }
    } else {
      // ustar marks a regular file by 0, the older format by NUL
      if (kind === '0' || kind === '\0') entries.push({ name, at: content, size });
      longName = null;
      longSize = null;
    }
    at = content + Math.ceil(size / BLOCK) * BLOCK;
  }
  return entries;
}

/** The sum of all header bytes, the checksum's own eight counted as blanks. */
function hasChecksum(view: DataView): boolean {
  const stated = /^[\s\0]*([0-7]{1,7})/.exec(characters(view, 148, 156))?.[1];
  if (stated === undefined) return false;
  let sum = 8 * 32;
  for (let i = 0; i < BLOCK; i++) if (i < 148 || i >= 156) sum += view.getUint8(i);
  return sum === parseInt(stated, 8);
}

function textIn(view: DataView, from: number, to: number): string {
  return from === 345 && characters(view, 257, 262) !== 'ustar' ? '' : characters(view, from, to).replace(/\0.*$/s, '');
}

/** Octal digits; or, with the highest bit set, a number of 11 bytes. */
function sizeIn(view: DataView): number {
  if (view.getUint8(124) < 0x80) {
    const octal = characters(view, 124, 136).replace(/[\s\0]+/g, '');
    return /^[0-7]*$/.test(octal) ? (octal === '' ? 0 : parseInt(octal, 8)) : NaN;
  }
  let size = 0;
  for (let i = 125; i < 136; i++) size = size * 256 + view.getUint8(i);
  return size;
}

function problem(file: string, at: number, found: string): InputError {
  return new InputError({
    file,
    place: `byte ${at}`,
    found,
    expected: 'a tar archive whose entries are whole',
    wayOut: 'The archive is cut off or damaged: make or copy it again.',
  });
}
