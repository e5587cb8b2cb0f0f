import { createHash, randomBytes } from 'node:crypto';
import SqliteDatabase, { type Database } from 'better-sqlite3';
import { describe, expect, onTestFinished, test } from 'vitest';
import { Blobs, columnBytes, columnOf, sha256 } from '../../src-main/register/blobs.ts';
import { MIGRATIONS } from '../../src-main/register/migrate.ts';
import { RegisterError } from '../../src-main/register/register-error.ts';

function store(): { db: Database; blobs: Blobs } {
  const db = new SqliteDatabase(':memory:');
  for (const sql of MIGRATIONS) db.exec(sql);
  onTestFinished(() => void db.close());
  return { db, blobs: new Blobs(db, 'build.spurledger') };
}

test('sha256(bytes) of "abc" is the digest printed in FIPS 180-4 examples', () => {
  expect(sha256(new TextEncoder().encode('abc'))).toBe(
    'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad',
  );
});

describe('Blobs', () => {
  test.each(['none', 'deflate'] as const)(
    'give back what was put, packed as %s, and keep the same bytes once',
    (packing) => {
      const { db, blobs } = store();
      const bytes = new Uint8Array(randomBytes(10_000));
      const sum = blobs.put(bytes, packing);
      expect(sum).toBe(createHash('sha256').update(bytes).digest('hex'));
      expect(blobs.put(bytes, packing)).toBe(sum);
      expect(new Uint8Array(blobs.get(sum, 'x'))).toEqual(bytes);
      expect(db.prepare('SELECT count(*) FROM blob').pluck().get()).toBe(1);
    },
  );

  test('no bytes at all are bytes too', () => {
    const { blobs } = store();
    expect(blobs.get(blobs.put(new Uint8Array(0), 'deflate'), 'x')).toHaveLength(0);
  });

  test.each(['none', 'deflate'] as const)('any flipped bit of a blob packed as %s is found and named', (packing) => {
    const { db, blobs } = store();
    const sum = blobs.put(new TextEncoder().encode('1000000,-90.5\n'.repeat(20)), packing);
    const kept = db.prepare('SELECT bytes FROM blob').pluck().get() as Buffer;
    const missed: number[] = [];
    for (let bit = 0; bit < 8 * kept.length; bit++) {
      const flipped = Buffer.from(kept);
      flipped[bit >> 3]! ^= 1 << (bit & 7);
      db.prepare('UPDATE blob SET bytes = ?').run(flipped);
      try {
        // some bits of a packed stream carry nothing: the bytes that come out are then the right ones
        if (sha256(blobs.get(sum, 'capture lid-on.csv')) !== sum) missed.push(bit);
      } catch (error) {
        if (!(error instanceof RegisterError)) throw error;
        expect(error.code).toBe('damaged');
        expect(error.message).toMatch(/build\.spurledger.*capture lid-on\.csv/);
      }
    }
    expect(missed).toEqual([]);
  });

  test('a blob that is gone is damage too', () => {
    const { db, blobs } = store();
    const sum = blobs.put(new Uint8Array([1, 2]), 'none');
    db.exec('DELETE FROM blob');
    expect(() => blobs.get(sum, 'x')).toThrow(RegisterError);
  });
});

describe('columnBytes(column) and columnOf(bytes)', () => {
  test('bytes are little-endian doubles of IEEE 754: 1 is 3FF0000000000000 read backwards', () => {
    expect(Buffer.from(columnBytes(Float64Array.of(1))).toString('hex')).toBe('000000000000f03f');
  });

  test('every kind of double comes back, from a part of a larger buffer too, as a copy', () => {
    const whole = Float64Array.of(9, NaN, Infinity, -Infinity, -0, 5e-324, 1.7976931348623157e308, 9);
    const bytes = columnBytes(whole.subarray(1, 7));
    const column = columnOf(Buffer.from(bytes));
    expect(column).toEqual(whole.slice(1, 7));
    expect(Object.is(column[3], -0)).toBe(true);
    column[0] = 1;
    expect(whole[1]).toBeNaN();
  });
});
