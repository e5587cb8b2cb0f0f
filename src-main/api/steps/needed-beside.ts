import type { ByteSource } from '../../model/byte-source.ts';
import type { ReadCapture } from '../../model/capture.ts';
import type { BesideGiven } from '../../register/capture-store.ts';
import { sha256Of } from './open-capture.ts';

/** A register keeps the bytes of a capture's file and of those beside it; larger ones stay where they are. */
export const LARGEST_KEPT_BYTES = 512 * 1024 * 1024;
/** What stands beside a table and is no larger may be its axis or header. */
const LARGEST_HEADER_BYTES = 8 * 1024 * 1024;

/**
 * Of the files beside a capture those that it cannot be read again without: the samples that its recordings name, and small ones that
 * may be its description or axis. One too large for a register comes as its length and checksum.
 */
export function neededBeside(
  { recordings = [] }: Pick<ReadCapture, 'recordings'>,
  companions: ReadonlyMap<string, Uint8Array | ByteSource>,
): ReadonlyMap<string, BesideGiven> {
  const samples = new Set(recordings.map((one) => (one.samples.kind === 'stored' ? one.samples.dataFile : null)));
  const needed = new Map<string, BesideGiven>();
  for (const [file, bytes] of companions) {
    if (!samples.has(file) && bytes.length > LARGEST_HEADER_BYTES) continue;
    if (bytes.length > LARGEST_KEPT_BYTES) needed.set(file, { length: bytes.length, sha256: sha256Of(bytes) });
    else needed.set(file, bytes instanceof Uint8Array ? bytes : bytes.read(0, bytes.length).slice());
  }
  return needed;
}
