import { createHash } from 'node:crypto';
import type { ByteSource } from '../../model/byte-source.ts';
import type { Capture } from '../../model/capture.ts';
import type { ReadingHints } from '../../model/reading-hints.ts';
import type { SpectrumSettings } from '../../model/spectrum-settings.ts';
import { readCapture, type Companions } from '../../readers/read-capture.ts';
import { samplesInMemory, withSpectra } from './spectra-of-recordings.ts';

export interface OpenOptions {
  /** How spectra are made of recordings; left out: the defaults. */
  readonly spectrum?: SpectrumSettings | undefined;
  /** What the user says of the file. */
  readonly hints?: ReadingHints | undefined;
  readonly onProgress?: ((fraction: number, step: string) => void) | undefined;
}

/** Read at once while hashing. */
const PIECE_BYTES = 2 ** 24;

/**
 * A capture as it was read, with its name, the SHA-256 of its bytes and a spectrum of each recording in it. Throws the reader's
 * InputError. A large file comes as a byte source and is never held as a whole.
 */
export function openCapture(
  bytes: Uint8Array | ByteSource,
  file: string,
  companions: Companions = new Map(),
  { spectrum, hints, onProgress }: OpenOptions = {},
): Capture {
  const read = readCapture(bytes, file, companions, hints);
  const made = withSpectra(read, file, samplesInMemory(bytes, companions), spectrum, onProgress);
  return { ...made, file, sha256: sha256Of(bytes) };
}

export function sha256Of(bytes: Uint8Array | ByteSource): string {
  const hash = createHash('sha256');
  if (bytes instanceof Uint8Array) hash.update(bytes);
  else {
    for (let at = 0; at < bytes.length; at += PIECE_BYTES)
      hash.update(bytes.read(at, Math.min(bytes.length, at + PIECE_BYTES)));
  }
  return hash.digest('hex');
}
