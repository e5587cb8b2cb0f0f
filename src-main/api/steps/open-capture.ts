import { createHash } from 'node:crypto';
import type { Capture } from '../../model/capture.ts';
import { readCapture, type Companions } from '../../readers/read-capture.ts';

/** A capture as it was read, with its name and the SHA-256 of its bytes. Throws the reader's InputError. */
export function openCapture(bytes: Uint8Array, file: string, companions: Companions = new Map()): Capture {
  return { ...readCapture(bytes, file, companions), file, sha256: createHash('sha256').update(bytes).digest('hex') };
}
