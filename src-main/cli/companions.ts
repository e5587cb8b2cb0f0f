import { closeSync, fstatSync, openSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { basename, dirname, extname, join, resolve } from 'node:path';

import { openFileSource } from '../api/steps/file-source.ts';
import type { ByteSource } from '../model/byte-source.ts';

/** Larger neighbours are recordings or captures of their own, not the axis or header of this one; or its samples, read in pieces. */
const LARGEST_COMPANION_BYTES = 8 * 1024 * 1024;

/**
 * The files beside a capture that bear its stem (`tone.txt` → `tone.x`, `tone.hdr`), by their names as the user would write them:
 * some programs write axis, header and levels into separate files. Which of them matter is the reader's business. Neighbours that
 * cannot be read are passed over.
 */
export function companionsOf(file: string, folder: string): ReadonlyMap<string, Uint8Array | ByteSource> {
  const path = resolve(folder, file);
  const stem = stemOf(path);
  const stemAsGiven = file.slice(0, file.length - extname(file).length);
  const companions = new Map<string, Uint8Array | ByteSource>();
  for (const name of fileNames(dirname(path))) {
    if (name === basename(path) || stemOf(name) !== stem) continue;
    const beside = join(dirname(path), name);
    const bytes = SAMPLES.test(name) ? fileInPieces(beside) : smallFile(beside);
    if (bytes !== null) companions.set(`${stemAsGiven}${extname(name)}`, bytes);
  }
  return companions;
}

/** The other half of a recording: its samples. */
const SAMPLES = /\.sigmf-data$/i;

/** A file that is opened when it is first read; null where it cannot be. */
function fileInPieces(path: string): ByteSource | null {
  try {
    const { size } = statSync(path);
    let opened: ByteSource | null = null;
    return { length: size, read: (from, to) => (opened ??= openFileSource(path)).read(from, to), elsewhere: path };
  } catch {
    return null;
  }
}

function stemOf(path: string): string {
  return basename(path, extname(path)).toLowerCase();
}

function fileNames(folder: string): string[] {
  try {
    return readdirSync(folder, { withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => entry.name)
      .sort();
  } catch {
    return [];
  }
}

function smallFile(path: string): Uint8Array | null {
  let descriptor: number | null = null;
  try {
    descriptor = openSync(path, 'r');
    return fstatSync(descriptor).size > LARGEST_COMPANION_BYTES ? null : readFileSync(descriptor);
  } catch {
    return null;
  } finally {
    if (descriptor !== null) closeSync(descriptor);
  }
}
