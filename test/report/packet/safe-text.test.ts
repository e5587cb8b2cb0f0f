import { expect, test } from 'vitest';
import { csvCell, csvTable, fileStem, markupText, pageText } from '../../../src-main/report/packet/safe-text.ts';

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

test('no character of a name can end an element or an attribute, or reorder the page', () => {
  expect(markupText(`<img src=x onerror="a('b')">&`)).toBe('&lt;img src=x onerror=&quot;a(&#39;b&#39;)&quot;&gt;&amp;');
  expect(pageText('a\u202ecba\u0000\u001b[31m')).toBe('a‹202E›cba‹00›‹1B›[31m');
});

test.each([
  ['../../etc/passwd', 'etc-passwd'],
  ['CON:<>|?*.csv', 'CON-.csv'],
  ['...', 'unnamed'],
  ['Übersicht λ.csv', 'U-bersicht-.csv'],
  ['a'.repeat(100), 'a'.repeat(60)],
])('the file name %j becomes %j in the packet', (name, stem) => {
  expect(fileStem(name)).toBe(stem);
});
