import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { parseCall } from '../../src-main/cli/call.ts';
import { readCommand } from '../../src-main/cli/read-command.ts';
import { npy, numbers } from '../readers/build.ts';

const hintsOf = (...words: string[]) => {
  const call = parseCall(['read', 'a.csv', ...words]);
  return call.command === 'read' ? call.open.hints : null;
};

test('every option becomes a hint to the reader', () => {
  expect(
    hintsOf(
      ...'--separator tab --decimal-mark comma --first-row 5 --axis-column 2 --level-columns 1,3 --axis time --frequency-unit MHz'.split(
        ' ',
      ),
      ...'--unit dBuV --start-hz=-5 --step-hz 1e3 --two-channels iq --sample-rate-hz 48000'.split(' '),
    ),
  ).toEqual({
    separator: '\t',
    decimalMark: ',',
    headerLines: 4,
    frequencyColumn: 2,
    levelColumns: [1, 3],
    axisIs: 'time',
    frequencyFactor: 1e6,
    unit: 'dBuV',
    startHz: -5,
    stepHz: 1000,
    twoChannelsAre: 'iq',
    sampleRateHz: 48_000,
  });
  expect(hintsOf()).toEqual({});
});

test.each([
  [['--separator', 'colon'], /--separator is "colon"; expected one of comma/],
  [['--first-row', '0'], /--first-row is "0"; expected the number of a line/],
  [['--level-columns', '2,x'], /--level-columns is "2,x"/],
  [['--frequency-unit', 'rpm'], /expected Hz, kHz/],
  [['--unit', 'furlong'], /expected a level unit/],
  [['--start-hz', '5'], /go together/],
  [['--step-hz=-1'], /above 0/],
])('%s is a wrong call', (words, message) => {
  expect(() => hintsOf(...words)).toThrow(message);
});

test('read --start-hz --step-hz gives a NumPy array of levels its frequencies', () => {
  const folder = mkdtempSync(join(tmpdir(), 'spurledger-cli-'));
  const levels = Array.from({ length: 50 }, (_, i) => -90 - (i % 3));
  writeFileSync(
    join(folder, 'a.npy'),
    npy("{'descr': '<f8', 'fortran_order': False, 'shape': (50,), }\n", numbers('f64', levels)),
  );
  let out = '';
  const terminal = { folder, out: (text: string) => void (out += text), err: () => undefined };
  const call = parseCall(['read', 'a.npy', '--json', '--start-hz', '1e6', '--step-hz', '2e3', '--unit', 'dBm']);
  const status = readCommand(call as Extract<typeof call, { command: 'read' }>, terminal as never);
  expect(status).toBe(0);
  expect((JSON.parse(out) as { captures: unknown[] }).captures[0]).toMatchObject({
    start_hz: 1e6,
    stop_hz: 1_098_000,
    unit: 'dBm',
  });
  rmSync(folder, { recursive: true });
});
