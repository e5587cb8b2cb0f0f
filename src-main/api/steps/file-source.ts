import { closeSync, fstatSync, openSync, readSync } from 'node:fs';
import type { ByteSource } from '../../model/byte-source.ts';

/** A file that is read piece by piece; `close` it. */
export interface FileSource extends ByteSource {
  readonly close: () => void;
}

/** Opens a file for reading at any place. Throws as node:fs does. The buffer given by `read` is used again by the next call. */
export function openFileSource(path: string): FileSource {
  const descriptor = openSync(path, 'r');
  let buffer = new Uint8Array(0);
  return {
    length: fstatSync(descriptor).size,
    read(from, to) {
      if (to - from > buffer.length) buffer = new Uint8Array(to - from);
      let done = 0;
      while (done < to - from) {
        const got = readSync(descriptor, buffer, done, to - from - done, from + done);
        if (got === 0) break;
        done += got;
      }
      return buffer.subarray(0, done);
    },
    elsewhere: path,
    close: () => closeSync(descriptor),
  };
}
