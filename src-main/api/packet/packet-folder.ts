import {
  closeSync,
  existsSync,
  fstatSync,
  lstatSync,
  mkdirSync,
  openSync,
  readdirSync,
  readSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { InputError } from '../../model/input-problem.ts';

/** Everything found under a folder: paths with slashes, in order; what is no plain file is named and not followed. */
export interface FolderContents {
  readonly files: readonly string[];
  /** Symbolic links, devices, pipes, names that are no text. */
  readonly odd: readonly string[];
}

/** More files than any packet has: a wrong folder is noticed before it is read through. */
const MOST_FILES = 100_000;

export function listFolder(folder: string): FolderContents {
  const files: string[] = [];
  const odd: string[] = [];
  const walk = (inside: string, depth: number): void => {
    for (const entry of readdirSync(join(folder, inside), { withFileTypes: true })) {
      const path = inside === '' ? entry.name : `${inside}/${entry.name}`;
      if (entry.isDirectory() && depth < 8) walk(path, depth + 1);
      else if (entry.isFile()) files.push(path);
      else odd.push(path);
      if (files.length + odd.length > MOST_FILES)
        throw new InputError({
          file: folder,
          place: 'whole folder',
          found: `more than ${MOST_FILES} files`,
          expected: 'the folder of a packet',
          wayOut: 'Name the folder that holds manifest.sha256.',
        });
    }
  };
  walk('', 0);
  return { files: files.sort(byCodeUnit), odd: odd.sort(byCodeUnit) };
}

/** Bytes of a file inside the folder, never through a link; null where there is no plain file. */
export function readPlainFile(folder: string, path: string): Uint8Array | null {
  let at = folder;
  for (const part of path.split('/')) {
    at = join(at, part);
    const entry = lstatSync(at, { throwIfNoEntry: false });
    if (entry === undefined || entry.isSymbolicLink()) return null;
  }
  if (!lstatSync(at).isFile()) return null;
  const descriptor = openSync(at, 'r');
  try {
    const bytes = Buffer.alloc(fstatSync(descriptor).size);
    let done = 0;
    while (done < bytes.length) {
      const count = readSync(descriptor, bytes, done, bytes.length - done, done);
      if (count === 0) break;
      done += count;
    }
    return bytes.subarray(0, done);
  } finally {
    closeSync(descriptor);
  }
}

/**
 * Fills a new folder: made aside and moved into place when it is whole, so that half a packet is never seen.
 *
 * @throws InputError where the folder is there already (nothing is ever written over) or the folder above it is not
 */
export function fillNewFolder<T>(folder: string, fill: (put: (path: string, bytes: Uint8Array) => void) => T): T {
  const target = resolve(folder);
  mustBeNew(target);
  const above = dirname(target);
  if (!existsSync(above))
    throw refusal(folder, 'no folder to put it in', 'a folder that is there', 'Make the folder above it first.');
  const aside = join(above, `.${basename(target)}.in-the-making-${process.pid}`);
  rmSync(aside, { recursive: true, force: true });
  mkdirSync(aside);
  try {
    const result = fill((path, bytes) => {
      const file = join(aside, ...path.split('/'));
      mkdirSync(dirname(file), { recursive: true });
      writeFileSync(file, bytes, { flag: 'wx' });
    });
    // once more: another program may have made it meanwhile
    mustBeNew(target);
    renameSync(aside, target);
    return result;
  } catch (error) {
    rmSync(aside, { recursive: true, force: true });
    throw error;
  }
}

/** @throws InputError where something of that name is there: nothing is ever written over */
export function mustBeNew(folder: string): void {
  if (lstatSync(folder, { throwIfNoEntry: false }) !== undefined)
    throw refusal(
      folder,
      'something of that name',
      'a name that nothing has yet',
      'Choose another name; nothing was written.',
    );
}

function refusal(file: string, found: string, expected: string, wayOut: string): InputError {
  return new InputError({ file, place: 'the packet’s folder', found, expected, wayOut });
}

function byCodeUnit(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
