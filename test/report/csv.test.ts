import { expect, test } from 'vitest';
import { csvCell, csvTable } from '../../src-main/report/csv.ts';

test.each([
  ['=1+1', "'=1+1"],
  ['+49 30', "'+49 30"],
  ['-2', "'-2"],
  ['@SUM(A1)', "'@SUM(A1)"],
  ['\t=1', "'‹09›=1"],
  ['  =1', "'  =1"],
  ['＝1', "'＝1"],
  ['plain', 'plain'],
  ['a "b", c', '"a ""b"", c"'],
  ['one\ntwo', 'one two'],
])('a cell with the text %j is written %j', (text, cell) => {
  expect(csvCell(text)).toBe(cell);
});

test('numbers are written as they are, also negative ones, and what is no number is an empty cell', () => {
  expect(csvTable(['a', 'b', 'c', 'd'], [[-1.5, NaN, null, true]])).toBe('a,b,c,d\n-1.5,,,true\n');
});
