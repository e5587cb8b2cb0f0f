import { lstat, readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { isSame, readStill, type FileLook } from './complete-file.ts';

/** A file that stands still, with the files beside it that share its stem. */
export interface StillFile {
  readonly name: string;
  readonly bytes: Uint8Array;
  readonly companions: ReadonlyMap<string, Uint8Array>;
}

export interface FolderSight {
  readonly waitingFor: readonly string[];
  readonly refused: readonly { readonly file: string; readonly reason: string }[];
  readonly problem: string | null;
}

interface Seen extends FileLook {
  /** Looks in a row at which it stood still. */
  looks: number;
  state: 'changing' | 'done' | 'refused';
  reason: string;
}

/** A file must look the same so many times in a row before it is read. With looks 2 s apart a writer may pause for 4 s. */
const STILL_LOOKS = 3;
/** Larger files cannot be kept in a register. */
const LARGEST_BYTES = 512 * 1024 * 1024;
/** Names that programs give to what they have not finished, and hidden ones. */
const UNFINISHED = /^[.~]|\.(?:tmp|temp|part|partial|crdownload|swp|lock)$|~$/i;
/** The samples of a recording come with their description. */
const OTHER_HALF = /\.sigmf-data$/i;
const LARGEST_COMPANION_BYTES = 64 * 1024 * 1024;

/**
 * One folder as it is looked at again and again: what stands still is handed over once, half-written files are waited for, links are
 * refused. Nothing here is told by the system's file events, which network drives do not send.
 */
export class FolderWatch {
  readonly #path: string;
  readonly #take: (file: StillFile) => Promise<string | null>;
  readonly #seen = new Map<string, Seen>();
  #problem: string | null = null;
  #isLooking = false;

  /** @param take takes a file in and answers null, or with the reason why it was refused */
  constructor(path: string, take: (file: StillFile) => Promise<string | null>) {
    this.#path = path;
    this.#take = take;
  }

  get sight(): FolderSight {
    const entries = [...this.#seen];
    return {
      waitingFor: entries.filter(([, seen]) => seen.state === 'changing').map(([name]) => name),
      refused: entries.flatMap(([file, { state, reason }]) => (state === 'refused' ? [{ file, reason }] : [])),
      problem: this.#problem,
    };
  }

  /** One look at the folder; a look that comes while another is under way does nothing. Never rejects. */
  async look(): Promise<void> {
    if (this.#isLooking) return;
    this.#isLooking = true;
    try {
      const entries = await readdir(this.#path, { withFileTypes: true });
      this.#problem = null;
      const present = new Set(entries.map(({ name }) => name));
      for (const name of this.#seen.keys()) if (!present.has(name)) this.#seen.delete(name);
      for (const entry of entries.sort((a, b) => (a.name < b.name ? -1 : 1))) {
        if (UNFINISHED.test(entry.name) || entry.isDirectory()) continue;
        if (entry.isFile()) await this.#lookAt(entry.name);
        else
          this.#refuse(
            entry.name,
            NO_FILE,
            entry.isSymbolicLink() ? 'a symbolic link, which is not followed' : 'no plain file',
          );
      }
    } catch (error) {
      this.#problem = `The folder cannot be looked at: ${messageOf(error)}`;
    } finally {
      this.#isLooking = false;
    }
  }

  async #lookAt(name: string): Promise<void> {
    const look = await this.#lookOf(name);
    if (look === null) return;
    const before = this.#seen.get(name);
    if (before === undefined || !isSame(before, look)) {
      this.#seen.set(name, { ...look, looks: 1, state: 'changing', reason: '' });
      return;
    }
    if (before.state !== 'changing') return;
    before.looks++;
    if (before.looks < STILL_LOOKS || before.size === 0 || OTHER_HALF.test(name)) {
      // samples without a description are nothing by themselves, and no reason to wait
      if (OTHER_HALF.test(name) && before.looks >= STILL_LOOKS) before.state = 'done';
      return;
    }
    if (before.size > LARGEST_BYTES)
      return this.#refuse(name, look, `${before.size} bytes, more than a register keeps (${LARGEST_BYTES})`);
    try {
      const bytes = await readStill(join(this.#path, name), look);
      const companions = bytes === null ? null : await this.#companionsOf(name);
      if (bytes === null || companions === null) {
        before.looks = 1;
        return;
      }
      const refusal = await this.#take({ name, bytes, companions });
      if (refusal === null) before.state = 'done';
      else this.#refuse(name, look, refusal);
    } catch (error) {
      // locked by its writer, or not ours to read: looked at again as long as it is there
      before.looks = 1;
      before.reason = messageOf(error);
    }
  }

  /** Files with the same stem, all standing still; null where one of them still changes. */
  async #companionsOf(name: string): Promise<Map<string, Uint8Array> | null> {
    const stem = stemOf(name);
    const companions = new Map<string, Uint8Array>();
    for (const entry of await readdir(this.#path, { withFileTypes: true })) {
      if (!entry.isFile() || entry.name === name || stemOf(entry.name) !== stem || UNFINISHED.test(entry.name))
        continue;
      const look = await this.#lookOf(entry.name);
      if (look === null || look.size > LARGEST_COMPANION_BYTES) continue;
      const before = this.#seen.get(entry.name);
      if (before === undefined || !isSame(before, look) || (before.state === 'changing' && before.looks < STILL_LOOKS))
        return null;
      const bytes = await readStill(join(this.#path, entry.name), look);
      if (bytes === null) return null;
      companions.set(entry.name, bytes);
    }
    return companions;
  }

  async #lookOf(name: string): Promise<FileLook | null> {
    try {
      const { size, mtimeMs } = await lstat(join(this.#path, name));
      return { size, modifiedMs: mtimeMs };
    } catch {
      return null; // gone since the folder was listed
    }
  }

  #refuse(name: string, look: FileLook, reason: string): void {
    this.#seen.set(name, { ...look, looks: 0, state: 'refused', reason });
  }
}

const NO_FILE: FileLook = { size: -1, modifiedMs: -1 };

function stemOf(name: string): string {
  return name.replace(/\.[^.]*$/, '').toLowerCase();
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
