import { expect, test } from 'vitest';
import { fileStem, markupText, pageText } from '../../../src-main/report/packet/safe-text.ts';

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
