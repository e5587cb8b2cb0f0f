/**
 * Bytes that may be read at any place, in memory or in a file somebody else holds open: what a reader needs of a 4 GB recording
 * without holding it. Nothing here waits: whoever opens the file reads synchronously (in a worker thread).
 */
export interface ByteSource {
  readonly length: number;
  /**
   * The bytes from `from` (included) to `to` (excluded), both within the length; fewer where the file became shorter since. What is
   * given may be overwritten by the next call: copy what must last.
   */
  read(from: number, to: number): Uint8Array;
  /** How another thread gets at the same bytes: the path of a file to open, or memory that is shared. Left out: it cannot. */
  readonly elsewhere?: string | Uint8Array<SharedArrayBuffer>;
}

/** Bytes that are in memory already. */
export function bytesInMemory(bytes: Uint8Array): ByteSource {
  const source: ByteSource = { length: bytes.length, read: (from, to) => bytes.subarray(from, to) };
  return isShared(bytes) ? { ...source, elsewhere: bytes } : source;
}

function isShared(bytes: Uint8Array): bytes is Uint8Array<SharedArrayBuffer> {
  return bytes.buffer instanceof SharedArrayBuffer;
}
