import { expect, test } from 'vitest';
import { fixed, frequencyHzText, frequencyText, significant } from '../../src-main/report/figures.ts';
import { readTable } from '../../src-main/report/read-table.ts';
import { table } from '../../src-main/report/table.ts';
import { terminalText } from '../../src-main/report/terminal-text.ts';
import { triageTable } from '../../src-main/report/triage-table.ts';
import { traceOf, TRIAGE, triagedCapture } from './sample-triage.ts';

test('columns are aligned, figures to the right, and no line ends in blanks', () => {
  const text = table(
    [
      { head: 'name', align: 'left', cell: ([name]: readonly [string, number]) => name },
      { head: 'n', align: 'right', cell: ([, n]) => String(n) },
    ],
    [
      ['a', 5],
      ['long é name', 1234],
    ],
  );
  expect(text).toBe('name            n\na               5\nlong é name  1234\n');
});

test('control, escape and direction characters of a file cannot reach the terminal', () => {
  expect(terminalText('a\u001b[31mb\r\n\u202ec\u009b\u007f')).toBe('a‹1B›[31mb‹0D›‹0A›‹202E›c‹9B›‹7F›');
  const trace = traceOf({ label: 'evil\u001b]0;x\u0007' });
  const capture = { file: 'x\u001b[2J.csv', sha256: 'ab', layout: 'two\ncolumns', traces: [trace], warnings: [] };
  // eslint-disable-next-line no-control-regex -- exactly these must be absent
  expect(readTable(capture)).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f]/);
});

test.each([
  [() => fixed(-0.004, 2), '0.00'],
  [() => fixed(null, 2), '-'],
  [() => fixed(NaN, 2), '-'],
  [() => significant(0.00123456, 3), '0.00123'],
  [() => significant(2e-9, 2), '2.0e-9'],
  [() => significant(0, 2), '0'],
  [() => frequencyHzText(1_234_567.891, 0.42), '1234567.89'],
  [() => frequencyHzText(1_234_567.891, 120), '1234568'],
  [() => frequencyHzText(1_234_567.891, null), '1234568'],
  [() => frequencyText(2_600_000), '2.6 MHz'],
  [() => frequencyText(999.94), '999.9 Hz'],
])('figure %# is written to the precision it has', (write, text) => {
  expect(write()).toBe(text);
});

test('the triage table gives every spur with units, source, harmonic and chance, then combs and what was not seen', () => {
  const text = triageTable(triagedCapture());
  expect(text).toContain('a.csv: one spur in 6 points from 1 MHz to 1 MHz');
  expect(text).toContain('level [dBm]');
  expect(text).toMatch(/1000300 +13 +-60\.00 +0\.40 +30\.0 +1000 +line +source +DC-A × 3 +0\.0000020|2\.0e-6/);
  expect(text).toContain('CLK: not seen, no harmonic in the span');
});

test('with bands known the triage table has a column for them', () => {
  expect(triageTable(triagedCapture())).not.toContain('over allowed');
  expect(triageTable(triagedCapture({ bands: [{ name: 'B1', overAllowedDb: 12.5 }] }))).toMatch(/B1 +12\.5/);
});

test('a capture without spurs says so and still says what would have been found', () => {
  const text = triageTable(triagedCapture({ triage: { ...TRIAGE, spurs: [], explanations: [], combs: [] } }));
  expect(text).toContain('no spur');
  expect(text).toContain('6.5 dB over the floor');
});
