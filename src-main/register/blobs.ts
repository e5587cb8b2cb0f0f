import { createHash } from 'node:crypto';
import { endianness } from 'node:os';
import { deflateSync, inflateSync } from 'node:zlib';
import type { Database } from 'better-sqlite3';
import { RegisterError } from './register-error.ts';

export function sha256(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}

/** `deflate` for text, which shrinks to a third; `none` for columns of doubles, where speed counts for more. */
export type Packing = 'none' | 'deflate';

/** Bytes by their SHA-256, each kept once and checked whenever it is read. */
export class Blobs {
  private readonly db: Database;
  private readonly file: string;
  constructor(db: Database, file: string) {
    this.db = db;
    this.file = file;
  }

  /** @returns the SHA-256 of the bytes, under which `get` gives them back */
  put(bytes: Uint8Array, packing: Packing): string {
    const sum = sha256(bytes);
    const known = this.db.prepare('SELECT 1 FROM blob WHERE sha256 = ?').get(sum);
    if (known === undefined)
      this.db
        .prepare('INSERT INTO blob (sha256, packing, bytes) VALUES (?, ?, ?)')
        .run(sum, packing, packing === 'deflate' ? deflateSync(bytes, { level: 1 }) : bytes);
    return sum;
  }

  /** @throws RegisterError `damaged` where the bytes are missing or not those that were kept */
  get(sum: string, what: string): Uint8Array {
    const stored = this.db.prepare('SELECT packing, bytes FROM blob WHERE sha256 = ?').get(sum) as
      { packing: Packing; bytes: Buffer } | undefined;
    let bytes: Uint8Array | null = null;
    try {
      if (stored !== undefined) bytes = stored.packing === 'deflate' ? inflateSync(stored.bytes) : stored.bytes;
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

/** A column of doubles as little-endian bytes; a view where the machine is little-endian. */
export function columnBytes(column: Float64Array): Uint8Array {
  const bytes = new Uint8Array(column.buffer, column.byteOffset, column.byteLength);
  return endianness() === 'LE' ? bytes : Buffer.from(bytes).swap64();
}

/** The doubles of little-endian bytes, always a copy. */
export function columnOf(bytes: Uint8Array): Float64Array {
  const copy = new Uint8Array(bytes.length);
  copy.set(bytes);
  if (endianness() !== 'LE') Buffer.from(copy.buffer).swap64();
  return new Float64Array(copy.buffer);
}
