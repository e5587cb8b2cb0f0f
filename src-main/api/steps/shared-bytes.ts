/** Smaller files are done before a second thread would have started. A choice of this tool. */
const WORTH_SHARING_BYTES = 2 ** 24;

/**
 * A file's bytes in memory that several threads see, where it may be a long recording: sent to a worker it is not copied once more, and
 * the worker can have a second one help it. Small files are given as they are.
 */
export function sharedBytes(bytes: Uint8Array): Uint8Array {
  if (bytes.length < WORTH_SHARING_BYTES || bytes.buffer instanceof SharedArrayBuffer) return bytes;
  const shared = new Uint8Array(new SharedArrayBuffer(bytes.length));
  shared.set(bytes);
  return shared;
}
