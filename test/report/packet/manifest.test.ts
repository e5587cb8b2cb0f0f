import { expect, test } from 'vitest';
import { isPlainPath, manifestText, readManifest } from '../../../src-main/report/packet/manifest.ts';

const SUM = 'a'.repeat(64);

test('a manifest reads back, in order of its paths', () => {
  const entries = [
    { path: 'b.txt', sha256: SUM },
    { path: 'a/c.csv', sha256: SUM },
  ];
  expect(readManifest(manifestText(entries))).toEqual({ entries: [entries[1], entries[0]], problems: [] });
});

test.each([
  ['no line end', `${SUM}  a`, 'line end'],
  ['one blank', `${SUM} a\n`, 'two blanks'],
  ['an upper-case sum', `${SUM.toUpperCase()}  a\n`, '64 hexadecimal'],
  ['a path twice', `${SUM}  a\n${SUM}  a\n`, 'each file once'],
  ['another order', `${SUM}  b\n${SUM}  a\n`, 'in order'],
  ['a way out of the packet', `${SUM}  ../a\n`, 'plain path'],
])('a manifest with %s is told of', (_, text, expected) => {
  expect(
    readManifest(text)
      .problems.map((problem) => problem.expected)
      .join(),
  ).toContain(expected);
});

test.each([
  '../a',
  '/a',
  'a//b',
  'a/../b',
  './a',
  'C:\\a',
  'a\\b',
  '.hidden',
  'a/',
  '',
  'a b',
  'ä',
  `${'a/'.repeat(120)}b`,
])('%j is no plain path', (path) => {
  expect(isPlainPath(path)).toBe(false);
});
