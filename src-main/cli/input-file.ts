import { readFileSync, statSync } from 'node:fs';
import { resolve } from 'node:path';
import { openFileSource } from '../api/steps/file-source.ts';
import type { ByteSource } from '../model/byte-source.ts';
import { InputError } from '../model/input-problem.ts';

/**
 * The bytes of a file that was named by the user.
 *
 * @throws InputError where there is no such file, it is a folder or device, or it may not be read.
 */
export function readInputFile(file: string, folder: string): Uint8Array {
  return checked(file, folder, (path) => readFileSync(path));
}

/** Files from this size on are read in pieces: they are recordings, or refused by the reader. */
const IN_PIECES_BYTES = 64 * 1024 * 1024;

/** As readInputFile, but what is large comes as a source of bytes that is never held as a whole. */
export function openInputFile(file: string, folder: string): Uint8Array | ByteSource {
  return checked(file, folder, (path) =>
    statSync(path).size < IN_PIECES_BYTES ? readFileSync(path) : openFileSource(path),
  );
}

function checked<T>(file: string, folder: string, open: (path: string) => T): T {
  const path = resolve(folder, file);
  try {
    const stat = statSync(path);
    if (stat.isDirectory()) throw refusal(file, 'a folder', 'Name the files in it, for example with /*.csv.');
    if (stat.isCharacterDevice() || stat.isBlockDevice())
      throw refusal(file, 'a device', 'Copy its content to a file.');
    return open(path);
  } catch (error) {
    if (error instanceof InputError) throw error;
    throw refusal(file, ...reasonOf(error, path));
  }
}

function refusal(file: string, found: string, wayOut: string): InputError {
  return new InputError({ file, place: 'whole file', found, expected: 'a file that can be read', wayOut });
}

function reasonOf(error: unknown, path: string): [found: string, wayOut: string] {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  switch (code) {
    case 'ENOENT':
    case 'ENOTDIR':
      return ['no such file', `Check the name; it was looked for as ${path}.`];
    case 'EACCES':
    case 'EPERM':
      return ['a file that may not be read', 'Ask its owner for the right to read it.'];
    case 'ERR_FS_FILE_TOO_LARGE':
      return ['more than 2 GiB', 'Split the file.'];
    default:
      return [`the system's refusal ${code || String(error)}`, 'Copy the file to a local disk and try again.'];
  }
}
