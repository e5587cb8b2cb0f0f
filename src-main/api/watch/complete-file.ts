import { constants } from 'node:fs';
import { open } from 'node:fs/promises';

/** What a look at a file in a folder tells; equal twice in a row, the file stands still. */
export interface FileLook {
  readonly size: number;
  readonly modifiedMs: number;
}

/**
 * The bytes of a file that stands still, or null where it changed while it was read: then it was still being written.
 *
 * A symbolic link is not followed, whatever it became since it was looked at: the open itself refuses.
 *
 * @throws as node:fs does where it cannot be read
 */
export async function readStill(path: string, look: FileLook): Promise<Uint8Array | null> {
  // where the system has no such flag (Windows), the look before has already told links apart
  const file = await open(path, constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0));
  try {
    const before = await file.stat();
    if (!before.isFile() || !isSame(look, { size: before.size, modifiedMs: before.mtimeMs })) return null;
    const bytes = await file.readFile();
    const after = await file.stat();
    const unchanged = isSame(look, { size: after.size, modifiedMs: after.mtimeMs }) && bytes.length === look.size;
    return unchanged ? bytes : null;
  } finally {
    await file.close();
  }
}

export function isSame(a: FileLook, b: FileLook): boolean {
  return a.size === b.size && a.modifiedMs === b.modifiedMs;
}
