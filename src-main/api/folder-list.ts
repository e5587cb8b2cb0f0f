import { readdirSync, realpathSync, statSync, type Dirent } from 'node:fs';
import { dirname, extname, join, resolve } from 'node:path';
import { InputError } from '../model/input-problem.ts';
import type { FolderEntry, FolderListing } from './contract.ts';

export const REGISTER_EXTENSION = '.spurledger';

/** More entries than anyone scrolls through; a folder of raw data may hold a hundred thousand. */
const MOST_ENTRIES = 5000;

/**
 * What is in a folder, for choosing a register or captures: folders first, then registers, then other files, each by name.
 * Hidden entries, devices and links to nowhere are left out.
 *
 * @throws InputError where there is no such folder or it may not be read.
 */
export function folderList(path: string): FolderListing {
  const folder = realFolder(path);
  const entries = directoryOf(folder)
    .filter((entry) => !entry.name.startsWith('.'))
    .flatMap((entry) => entryOf(entry, folder))
    .sort((a, b) => ORDER[a.kind] - ORDER[b.kind] || a.name.localeCompare(b.name, 'en', { numeric: true }))
    .slice(0, MOST_ENTRIES);
  const parent = dirname(folder);
  return { path: folder, parent: parent === folder ? null : parent, entries };
}

const ORDER = { folder: 0, register: 1, file: 2 } as const;

function entryOf(entry: Dirent, folder: string): FolderEntry[] {
  const path = join(folder, entry.name);
  let target: { isDirectory: () => boolean; isFile: () => boolean } = entry;
  if (entry.isSymbolicLink()) {
    try {
      target = statSync(path);
    } catch {
      return [];
    }
  }
  if (target.isDirectory()) return [{ name: entry.name, path, kind: 'folder' }];
  if (!target.isFile()) return [];
  return [
    { name: entry.name, path, kind: extname(entry.name).toLowerCase() === REGISTER_EXTENSION ? 'register' : 'file' },
  ];
}

function realFolder(path: string): string {
  try {
    const real = realpathSync(resolve(path));
    if (statSync(real).isDirectory()) return real;
  } catch (error) {
    throw refusal(path, reasonOf(error));
  }
  throw refusal(path, 'a file');
}

function directoryOf(folder: string): Dirent[] {
  try {
    return readdirSync(folder, { withFileTypes: true });
  } catch (error) {
    throw refusal(folder, reasonOf(error));
  }
}

function reasonOf(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  if (code === 'ENOENT') return 'no such folder';
  if (code === 'EACCES' || code === 'EPERM') return 'a folder that may not be read';
  return `the system's refusal ${code || String(error)}`;
}

function refusal(file: string, found: string): InputError {
  return new InputError({
    file,
    place: 'folder',
    found,
    expected: 'a folder that can be read',
    wayOut: 'Choose another folder.',
  });
}
