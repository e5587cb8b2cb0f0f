import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { columnsCsv, parseColumnsCsv } from '../../../src-main/report/packet/columns-csv.ts';
import { fromLosslessJson, losslessJson } from '../../../src-main/report/packet/lossless-json.ts';
import { firstDifference } from '../../../src-main/report/packet/difference.ts';

/** Doubles of every size by their bits, and the awkward ones. */
function doubles(count: number): Float64Array {
  const bits = new BigUint64Array(count);
  let state = 0x9e3779b97f4a7c15n;
  for (let i = 0; i < count; i++) {
    state = (state * 6364136223846793005n + 1442695040888963407n) & 0xffffffffffffffffn;
    bits[i] = state;
  }
  const out = new Float64Array(bits.buffer);
  out.set([0, -0, Number.MIN_VALUE, Number.MAX_VALUE, 0.1 + 0.2, -1e-323, NaN]);
  return out.map((value) => (Number.isFinite(value) || Number.isNaN(value) ? value : 1));
}

test('columns as CSV read back to the last bit, whatever the doubles', () => {
  const column = doubles(5000);
  const frequencyHz = Float64Array.from(column, (_, i) => i / 3);
  const text = columnsCsv(['frequency_hz', 'level'], [frequencyHz, column]);
  const [a, b] = parseColumnsCsv(text, 'x.csv', ['frequency_hz', 'level']);
  expect(a!.every((value, i) => Object.is(value, frequencyHz[i]))).toBe(true);
  expect(b!.every((value, i) => Object.is(value, column[i]))).toBe(true);
});

test('another program reads the same doubles (Python float, IEEE 754)', (context) => {
  const column = doubles(2000);
  const folder = mkdtempSync(join(tmpdir(), 'spurledger-csv-'));
  writeFileSync(join(folder, 'a.csv'), columnsCsv(['v'], [column]));
  const script = `import struct,sys
print(''.join(struct.pack('<d', float(l or 'nan')).hex() for l in open(sys.argv[1]).read().split('\\n')[1:-1]))`;
  const python = spawnSync('python3', ['-c', script, join(folder, 'a.csv')], { encoding: 'utf8' });
  rmSync(folder, { recursive: true });
  if (python.status !== 0) return context.skip('no python3 on this machine');
  const read = new Float64Array(new Uint8Array(Buffer.from(python.stdout.trim(), 'hex')).buffer);
  expect(read.length).toBe(column.length);
  expect(read.every((value, i) => Object.is(value, column[i]))).toBe(true);
});

test.each([
  ['another head', 'frequency,level\n1,2\n', 'line 1'],
  ['a cell too many', 'v\n1,2\n', 'line 2'],
  ['a word', 'v\none\n', 'line 2'],
  ['a blank before a number', 'v\n 1\n', 'line 2'],
])('a column file with %s is refused with its line', (_, text, place) => {
  expect(() => parseColumnsCsv(text, 'x.csv', ['v'])).toThrow(place);
});

test('JSON keeps what JSON has no word for, columns of doubles, and gives equal text for equal values', () => {
  const value = { b: [NaN, -Infinity, -0, 1e-320], a: Float64Array.of(1, NaN, -0), c: { z: null, y: 'x' } };
  const text = losslessJson(value);
  const back = fromLosslessJson(text) as typeof value;
  expect(back).toEqual(value);
  expect(Object.is(back.b[2], -0) && Object.is(back.a[2], -0)).toBe(true);
  expect(losslessJson({ c: { y: 'x', z: null }, a: value.a, b: value.b })).toBe(text);
});

test('the first difference is named with its place; a tolerance forgives small numbers and other words, never a status', () => {
  const one = { list: [{ levelDb: -100, status: 'cleared', why: 'a' }] };
  const other = { list: [{ levelDb: -100.00001, status: 'cleared', why: 'b' }] };
  expect(firstDifference(one, other, null)).toEqual({
    place: 'list[0].levelDb',
    found: '-100',
    expected: '-100.00001',
  });
  expect(firstDifference(one, other, 1e-6)).toBeNull();
  expect(firstDifference(one, other, 1e-8)).toMatchObject({ place: 'list[0].levelDb' });
  expect(firstDifference(one, { list: [{ ...one.list[0], status: 'hidden' }] }, 1)).toMatchObject({
    place: 'list[0].status',
  });
  expect(firstDifference({ list: [] }, one, 1)).toMatchObject({ found: '0 entries', expected: '1 entries' });
});
