import { createHash } from 'node:crypto';
import { deflateSync, inflateSync } from 'node:zlib';
import type { Database } from 'better-sqlite3';
import { RegisterError } from './register-error.ts';

export function sha256(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}

/** Bytes by their SHA-256, compressed, each kept once and checked whenever it is read. */
export class Blobs {
  private readonly db: Database;
  private readonly file: string;
  constructor(db: Database, file: string) {
    this.db = db;
    this.file = file;
  }

  put(bytes: Uint8Array): string {
    const sum = sha256(bytes);
    this.db
      .prepare('INSERT OR IGNORE INTO blob (sha256, bytes) VALUES (?, ?)')
      .run(sum, deflateSync(bytes, { level: 1 }));
    return sum;
  }

  /** @throws RegisterError `damaged` where the bytes are missing or not those that were kept */
  get(sum: string, what: string): Uint8Array {
    const stored = this.db.prepare('SELECT bytes FROM blob WHERE sha256 = ?').pluck().get(sum) as Buffer | undefined;
    let bytes: Uint8Array | null = null;
    try {
      if (stored !== undefined) bytes = inflateSync(stored);
    } catch {
      bytes = null; // not even a compressed stream any more
    }
    if (bytes === null || sha256(bytes) !== sum) throw damaged(this.file, what);
    return bytes;
  }
}

export function damaged(file: string, what: string): RegisterError {
  return new RegisterError('damaged', {
    file,
    place: what,
    found: 'bytes that are not those that were kept',
    expected: 'the checksum stored with them',
    wayOut: 'Take the original file in again, or go back to a copy of the register.',
  });
}

/** A column of doubles as little-endian bytes; no copy where the machine is little-endian. */
export function columnBytes(column: Float64Array): Uint8Array {
  return new Uint8Array(column.buffer, column.byteOffset, column.byteLength);
}

export function columnOf(bytes: Uint8Array): Float64Array {
  // a copy of its own: a Buffer's slice shares the pool it came from
  return new Float64Array(new Uint8Array(bytes).buffer);
}
