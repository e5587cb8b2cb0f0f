import type { FileBeside } from '../../src-main/api/contract/reading-calls.ts';

/** A capture on its way in: the file that is opened, and files of the same drop that belong to it. */
export interface Arriving {
  readonly file: File;
  readonly beside: readonly File[];
}

/** A neighbour larger than this is a capture of its own; only axes and headers come along. */
const LARGEST_BESIDE = 8 * 1024 * 1024;
const META = /\.sigmf-meta$/i;
const DATA = /\.sigmf-data$/i;

/**
 * Files dropped together, one capture each, but for the two halves of a recording (metadata and samples of one stem), which are one.
 * Files of one stem come along with each other: axis and header may stand apart from the levels.
 */
export function arriving(files: readonly File[]): Arriving[] {
  const halves = new Set(files.filter(({ name }) => META.test(name)).map(({ name }) => stemOf(name)));
  return files
    .filter(({ name }) => !(DATA.test(name) && halves.has(stemOf(name))))
    .map((file) => ({
      file,
      beside: files.filter(
        (other) =>
          other !== file &&
          stemOf(other.name) === stemOf(file.name) &&
          (DATA.test(other.name) || other.size <= LARGEST_BESIDE),
      ),
    }));
}

function stemOf(name: string): string {
  return name.replace(/\.[^.]*$/, '').toLowerCase();
}

/** The bytes of a capture and of what belongs to it. Metadata and samples become the one archive that their format knows. */
export async function bytesOf({
  file,
  beside,
}: Arriving): Promise<{ file: string; bytes: Uint8Array; companions: FileBeside[] }> {
  const bytes = new Uint8Array(await file.arrayBuffer());
  const data = META.test(file.name) ? beside.find(({ name }) => DATA.test(name)) : undefined;
  if (data !== undefined) {
    const samples = new Uint8Array(await data.arrayBuffer());
    return {
      file: file.name.replace(META, '.sigmf'),
      bytes: tarOf([
        [file.name, bytes],
        [data.name, samples],
      ]),
      companions: [],
    };
  }
  const companions = await Promise.all(
    beside.map(async (other) => ({ file: other.name, bytes: new Uint8Array(await other.arrayBuffer()) })),
  );
  return { file: file.name, bytes, companions };
}

const BLOCK = 512;

/** A tar archive (POSIX.1-1988 ustar) of a few files, without owners or times, so that the same files give the same bytes. */
export function tarOf(files: readonly (readonly [name: string, content: Uint8Array])[]): Uint8Array {
  const encoder = new TextEncoder();
  const blocks = files.map(([, { length }]) => BLOCK + Math.ceil(length / BLOCK) * BLOCK);
  const archive = new Uint8Array(blocks.reduce((n, size) => n + size, 2 * BLOCK));
  let at = 0;
  for (const [f, [name, content]] of files.entries()) {
    const header = archive.subarray(at, at + BLOCK);
    const put = (offset: number, text: string): void => header.set(encoder.encode(text), offset);
    header.set(encoder.encode(name).subarray(0, 100), 0);
    put(100, '0000644\0');
    put(108, '0000000\0');
    put(116, '0000000\0');
    // sizes of 8 GiB and more do not fit eleven octal digits; no window holds so much
    put(124, `${content.length.toString(8).padStart(11, '0')}\0`);
    put(136, '00000000000\0');
    put(148, '        ');
    put(156, '0');
    put(257, 'ustar\x0000');
    const sum = header.reduce((total, byte) => total + byte, 0);
    put(148, `${sum.toString(8).padStart(6, '0')}\0 `);
    archive.set(content, at + BLOCK);
    at += blocks[f]!;
  }
  return archive;
}
