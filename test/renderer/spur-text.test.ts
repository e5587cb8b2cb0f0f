import { expect, test } from 'vitest';
import type { SpurRow } from '../../src-renderer/state/spur-rows.ts';
import { spurText } from '../../src-renderer/state/spur-text.ts';

const row = (word: string, tag: string, why: string): SpurRow =>
  ({
    number: 7,
    word,
    tag,
    spur: {
      frequencyHz: 1_234_567.8912,
      frequencySigmaHz: 12.345,
      levelDb: -91.234,
      levelSigmaDb: 0.1,
      overFloorDb: 12,
    },
    explanation: { why },
  }) as unknown as SpurRow;

test('one line a spur below its head, tabs between cells, the unit in the head', () => {
  const lines = spurText([row('BUS-ISO', 'C7', 'lies there'), row('unexplained', '', '')], 'dBm').split('\n');
  expect(lines).toHaveLength(3);
  expect(lines[0]!.split('\t')).toContain('level (dBm)');
  expect(lines[1]!.split('\t')).toEqual([
    '7',
    'BUS-ISO',
    'C7',
    '1234567.891',
    '12.3',
    '-91.23',
    '0.10',
    '12.00',
    'lies there',
  ]);
});

test('a name cannot break the table or be taken for a formula; a negative number stays one', () => {
  const [, line] = spurText([row('=HYPERLINK("x")', '@a', 'two\tcells\nand a line')], 'dBm').split('\n');
  const cells = line!.split('\t');
  expect(cells).toHaveLength(9);
  expect(cells[1]).toBe('\'=HYPERLINK("x")');
  expect(cells[2]).toBe("'@a");
  expect(cells[5]).toBe('-91.23');
  expect(cells[8]).toBe('two cells and a line');
});
