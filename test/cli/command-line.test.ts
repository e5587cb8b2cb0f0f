import { chmodSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { comb, smallCapture } from '../api/small-capture.ts';
import { COMPARE_SHAPE, expectShape, READ_SHAPE, TRIAGE_SHAPE } from '../report/document-shape.ts';
import { folderWith, run } from './in-process.ts';

const SOURCES = 'designator,kind,nominal_hz,tolerance_ppm\nDC-A,converter,300000,30000\nDC-B,converter,440000,30000\n';
const A = comb(303_000, 25);
const B = comb(451_000, 25);

interface Captures {
  captures: Record<string, unknown>[];
  problems: Record<string, string>[];
}
const parsed = (out: string) => JSON.parse(out) as Captures;

test('triage writes one document on standard output and nothing else there', async () => {
  const folder = folderWith({ 'a.csv': smallCapture({ lines: A }), 's.csv': SOURCES });
  const { status, out } = await run(folder, 'triage', 'a.csv', '--sources', 's.csv', '--json');
  expect(status).toBe(0);
  const document = parsed(out);
  expectShape(document, TRIAGE_SHAPE);
  expect(document.captures).toMatchObject([
    { file: 'a.csv', points: 6000, unit: 'dBm', rbw_hz: 1000, averages: 16, combs: [{ source: 'DC-A' }] },
  ]);
});

test('read says what was understood and computes nothing', async () => {
  const folder = folderWith({ 'a.csv': smallCapture({ points: 100 }) });
  const { status, out } = await run(folder, 'read', 'a.csv', '--json');
  expect(status).toBe(0);
  expectShape(JSON.parse(out), READ_SHAPE);
  expect((await run(folder, 'read', 'a.csv')).out).toMatch(/a\.csv: .*\n.*sha256 [0-9a-f]{64}/);
});

test('compare follows every spur from before to after', async () => {
  const folder = folderWith({
    'b.csv': smallCapture({ seed: 1, lines: [...A, ...B] }),
    'c.csv': smallCapture({ seed: 2, lines: B }),
    's.csv': SOURCES,
  });
  const { status, out } = await run(
    folder,
    'compare',
    '--before',
    'b.csv',
    '--after',
    'c.csv',
    '--sources',
    's.csv',
    '--json',
  );
  expect(status).toBe(0);
  const document = JSON.parse(out) as { tracks: { source: string; status: string }[]; sentence: string };
  expectShape(document, COMPARE_SHAPE);
  const statuses = (source: string) =>
    new Set(document.tracks.filter((track) => track.source === source).map((track) => track.status));
  expect(statuses('DC-A')).toEqual(new Set(['cleared']));
  expect(statuses('DC-B')).toEqual(new Set(['persists']));
});

test.each([
  ['missing', 'nowhere.csv', /no such file/],
  ['a folder', '.', /a folder/],
  ['empty', 'empty.csv', /empty\.csv/],
  ['binary', 'binary.csv', /binary\.csv/],
  ['of one column', 'one.csv', /one\.csv/],
  ['descending and repeated in frequency', 'twice.csv', /twice\.csv/],
])('a capture that is %s is refused with status 3, and the others are still done', async (_, file, reason) => {
  const folder = folderWith({
    'a.csv': smallCapture({ lines: A }),
    'empty.csv': '',
    'binary.csv': Uint8Array.from({ length: 500 }, (_byte, i) => (i * 97) % 256),
    'one.csv': 'level\n1\n2\n3\n',
    'twice.csv': 'Hz,dBm\n1,2\n1,3\n2,4\n2,5\n1,6\n',
  });
  const { status, out, err } = await run(folder, 'triage', file, 'a.csv', '--json');
  expect(status).toBe(3);
  expect(err).toMatch(reason);
  const document = parsed(out);
  expectShape(document, TRIAGE_SHAPE);
  expect(document.captures.map((capture) => capture['file'])).toEqual(['a.csv']);
  expect(document.problems).toHaveLength(1);
  expect(document.problems[0]!['file']).toBe(file);
  for (const part of ['place', 'found', 'expected', 'way_out']) expect(document.problems[0]![part]).not.toBe('');
});

test.skipIf(process.getuid?.() === 0 || process.platform === 'win32')(
  'a capture that may not be read is refused with status 3',
  async () => {
    const folder = folderWith({ 'a.csv': smallCapture({ points: 50 }) });
    chmodSync(join(folder, 'a.csv'), 0);
    const { status, err } = await run(folder, 'read', 'a.csv');
    expect(status).toBe(3);
    expect(err).toContain('may not be read');
  },
);

test.each([
  ['a repeated designator', `${SOURCES}DC-A,clock,1e6,\n`],
  [
    'a circle of locks',
    'designator,kind,nominal_hz,locked_to,lock_numerator,lock_denominator\nX,clock,1e6,Y,1,1\nY,clock,1e6,X,1,1\n',
  ],
  ['no designator column', 'kind,nominal_hz\nclock,1\n'],
])('a source table with %s adds nothing: status 3, captures done without it and saying so', async (_, text) => {
  const folder = folderWith({ 'a.csv': smallCapture({ lines: A }), 's.csv': text });
  const { status, out } = await run(folder, 'triage', 'a.csv', '--sources', 's.csv', '--json');
  expect(status).toBe(3);
  const { captures, problems } = parsed(out);
  expect(problems.map(({ file }) => file)).toEqual(['s.csv']);
  expect(captures[0]!['warnings']).toContain(
    's.csv was refused, so this result is what it would be without that table.',
  );
  expect(JSON.stringify(captures[0]!['spurs'])).not.toContain('DC-A');
});

test('conditions supply what the file does not say and are matched by file name', async () => {
  const head = ['Frequency (Hz),Level'];
  const folder = folderWith({
    'runs/a.csv': smallCapture({ lines: A, head }),
    'c.csv': 'file,unit,rbw_hz,averages,averaging,sources_off\na.csv,dBm,1000,16,power,DC-B\nother.csv,,,,,\n',
    's.csv': SOURCES,
  });
  const { status, out, err } = await run(
    folder,
    'triage',
    'runs/a.csv',
    '--conditions',
    'c.csv',
    '--sources',
    's.csv',
    '--json',
  );
  expect(status).toBe(0);
  expect(parsed(out).captures).toMatchObject([
    {
      unit: 'dBm',
      rbw_hz: 1000,
      averages: 16,
      sources_off: ['DC-B'],
      settings: { noise_statistic: 'chi-square', origin: { averages: 'conditions' } },
    },
  ]);
  expect(err).toContain('no capture of this call is meant by the rows of other.csv');
});

test('with bands a spur says in which it lies and how far it is over what is allowed', async () => {
  const bands =
    'name,low_hz,high_hz,allowed_over_floor_db,allowed_level,allowed_unit\nlow,5e5,7e5,10,,\nhigh,1.4e6,1.6e6,,-80,dBm\n';
  // UTF-16 with a byte-order mark, as spreadsheets save "Unicode text".
  const folder = folderWith({ 'a.csv': smallCapture({ lines: A }), 'b.csv': Buffer.from(`\ufeff${bands}`, 'utf16le') });
  const { status, out, err } = await run(folder, 'triage', 'a.csv', '--bands', 'b.csv', '--json');
  expect(status, err).toBe(0);
  const spurs = parsed(out).captures[0]!['spurs'] as { frequency_hz: number; band: string; over_allowed_db: number }[];
  const at = (frequencyHz: number) => spurs.find((spur) => Math.abs(spur.frequency_hz - frequencyHz) < 1000)!;
  // The lines stand 25 dB over a floor of −90 dBm: 15 dB over 10 dB, and −65 dBm against −80 dBm.
  expect(at(606_000).band).toBe('low');
  expect(at(606_000).over_allowed_db).toBeCloseTo(15, 0);
  expect(at(1_515_000).band).toBe('high');
  expect(at(1_515_000).over_allowed_db).toBeCloseTo(15, 0);
  expect(at(909_000)).toMatchObject({ band: null, over_allowed_db: null });
});

test('a designator in the conditions that no source has refuses the conditions', async () => {
  const folder = folderWith({
    'a.csv': smallCapture(),
    'c.csv': 'file,sources_on\na.csv,DC-A DC-X\n',
    's.csv': SOURCES,
  });
  const { status, err } = await run(folder, 'triage', 'a.csv', '--conditions', 'c.csv', '--sources', 's.csv');
  expect(status).toBe(3);
  expect(err).toMatch(/c\.csv, .*sources_on.*"DC-X"/);
});

test('of several traces the first that has values is analysed, the others are named, and --trace picks', async () => {
  const rows = new TextDecoder()
    .decode(smallCapture({ lines: A, head: [] }))
    .trim()
    .split('\n');
  const text = ['Hz,first (dBm),second (dBm)', ...rows.map((row) => `${row},${-100 - (row.length % 2)}`)].join('\n');
  const folder = folderWith({ 'a.csv': text });
  const first = parsed((await run(folder, 'triage', 'a.csv', '--json')).out).captures[0]!;
  expect(first).toMatchObject({ trace_number: 1, traces: 2 });
  expect((first['warnings'] as string[]).join()).toMatch(/Only trace 1 .*not 2/);
  const second = parsed((await run(folder, 'triage', 'a.csv', '--trace', '2', '--json')).out).captures[0]!;
  expect(second).toMatchObject({ trace_number: 2 });
  const third = await run(folder, 'triage', 'a.csv', '--trace', '3', '--json');
  expect(third.status).toBe(3);
  expect(parsed(third.out)).toMatchObject({ captures: [], problems: [{ place: 'trace 3', found: '2 traces' }] });
});

test('compare with a side that cannot be read compares nothing and says so', async () => {
  const folder = folderWith({ 'a.csv': smallCapture() });
  const { status, out } = await run(folder, 'compare', '--before', 'a.csv', '--after', 'gone.csv', '--json');
  expect(status).toBe(3);
  expectShape(JSON.parse(out), COMPARE_SHAPE);
  expect(JSON.parse(out)).toMatchObject({ tracks: [], problems: [{ file: 'gone.csv' }] });
});

test('with --register sources, bands, captures and results are kept, and its sources serve the next call', async () => {
  const folder = folderWith({
    'a.csv': smallCapture({ lines: A }),
    's.csv': SOURCES,
    'text.spurledger': 'no register',
  });
  const first = await run(folder, 'triage', 'a.csv', '--sources', 's.csv', '--register', 'r.spurledger', '--json');
  expect(first.status, first.err).toBe(0);
  const again = await run(folder, 'triage', 'a.csv', '--register', 'r.spurledger', '--json');
  expect(parsed(again.out)).toEqual(parsed(first.out));

  const bad = await run(folder, 'triage', 'a.csv', '--register', 'text.spurledger', '--json');
  expect(bad.status).toBe(3);
  expect(parsed(bad.out)).toMatchObject({ captures: [{ file: 'a.csv' }], problems: [{ file: 'text.spurledger' }] });
});

test('a call that is wrong writes usage to standard error, nothing to standard output, status 2', async () => {
  const { status, out, err } = await run(folderWith(), 'triage');
  expect({ status, out }).toEqual({ status: 2, out: '' });
  expect(err).toContain('spurledger triage CAPTURE…');
});

test('help goes to standard output with status 0', async () => {
  const { status, out, err } = await run(folderWith(), '--help');
  expect({ status, err }).toEqual({ status: 0, err: '' });
  expect(out).toContain('Exit status: 0 done');
});

test('a column that the source table does not know is passed over with a warning', async () => {
  const folder = folderWith({
    'a.csv': smallCapture({ lines: A }),
    's.csv': 'designator,kind,nominal_hz,tolerance_ppm,colour\nDC-A,converter,300000,30000,red\n',
  });
  const { status, out, err } = await run(folder, 'triage', 'a.csv', '--sources', 's.csv', '--json');
  expect(status).toBe(0);
  expect(err).toContain('“colour”');
  expect(JSON.stringify(parsed(out).captures[0]!['combs'])).toContain('DC-A');
});
