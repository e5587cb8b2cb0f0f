import { describe, expect, test } from 'vitest';
import { InputError } from '../../../src-main/model/input-problem.ts';
import { readCapture } from '../../../src-main/readers/read-capture.ts';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const read = (text: string | Uint8Array) => readCapture(typeof text === 'string' ? bytes(text) : text, 'bench.csv');
const problemOf = (text: string | Uint8Array): InputError['problem'] => {
  try {
    read(text);
  } catch (error) {
    if (error instanceof InputError) return error.problem;
    throw error;
  }
  throw new Error('nothing was refused');
};
const rows = (count: number, row: (i: number) => string, end = '\n'): string =>
  Array.from({ length: count }, (_, i) => row(i)).join(end) + end;
const plain = rows(50, (i) => `${1e6 + i * 1000},${-100 + (i % 7)}`);

describe('readCapture(bytes, file): habits of delimited files', () => {
  test.each([
    ['comma', ',', '.'],
    ['semicolon', ';', '.'],
    ['semicolon and decimal comma', ';', ','],
    ['tab', '\t', '.'],
    ['tab and decimal comma', '\t', ','],
    ['blanks', '   ', '.'],
    ['blanks and decimal comma', ' ', ','],
  ])('finds the delimiter: %s', (_, delimiter, point) => {
    const text = rows(40, (i) => `${1000 + i}${point}5${delimiter}-${90 + (i % 5)}${point}25`);
    const [trace] = read(
      `Frequency (kHz)${delimiter.trim() === '' ? delimiter : delimiter}Level (dBm)\n${text}`,
    ).traces;
    expect(trace!.frequencyHz[1]).toBe(1_001_500);
    expect(trace!.level[1]).toBe(-91.25);
    expect(trace!.unit.name).toBe('dBm');
  });

  test.each([
    ['LF', '\n'],
    ['CR LF', '\r\n'],
    ['CR', '\r'],
    ['CR CR LF', '\r\r\n'],
  ])('line ends: %s', (_, end) => {
    const [trace] = read(rows(30, (i) => `${1e6 + i},${-80 - i}`, end)).traces;
    expect(trace!.level).toHaveLength(30);
    expect(trace!.level[29]).toBe(-109);
  });

  test('mixed line ends, a last line without one, NUL bytes and a byte-order mark change nothing', () => {
    const mixed = '\ufeffFrequency [Hz],Level [dBm]\r\n1000,-80\n2000\0,-81\0\r\n3000,-82';
    const capture = read(mixed);
    expect([...capture.traces[0]!.level]).toEqual([-80, -81, -82]);
    expect(capture.warnings.join()).toMatch(/2 NUL bytes/);
  });

  test('UTF-16 with a byte-order mark, and Latin-1 with a micro sign', () => {
    const text = 'f/Hz;Pegel/dBµV\n' + rows(20, (i) => `${1000 + i};${20 + (i % 3)}`);
    const utf16 = new Uint8Array(2 + 2 * text.length);
    utf16.set([0xff, 0xfe]);
    for (let i = 0; i < text.length; i++) utf16.set([text.charCodeAt(i) & 255, text.charCodeAt(i) >> 8], 2 + 2 * i);
    expect(read(utf16).traces[0]!.unit.name).toBe('dBµV');
    expect(read(Uint8Array.from(text, (c) => c.charCodeAt(0))).traces[0]!.unit.name).toBe('dBµV');
  });

  test.each([
    ['dBm', 'dBm', 'decibel'],
    ['dBuV', 'dBµV', 'decibel'],
    ['dBµV', 'dBµV', 'decibel'],
    ['dBμV', 'dBµV', 'decibel'],
    ['dBmV', 'dBmV', 'decibel'],
    ['dBV', 'dBV', 'decibel'],
    ['dBm/Hz', 'dBm/Hz', 'decibel'],
    ['dBuV/m', 'dBµV/m', 'decibel'],
    ['W', 'W', 'power'],
    ['mW', 'mW', 'power'],
    ['V', 'V', 'amplitude'],
    ['uV', 'µV', 'amplitude'],
    ['V^2/Hz', 'V²/Hz', 'power'],
    ['V²/Hz', 'V²/Hz', 'power'],
    ['V/√Hz', 'V/√Hz', 'amplitude'],
    ['Vrms', 'V', 'amplitude'],
  ])('level unit %s is read as %s', (written, name, scale) => {
    const [trace] = read(
      `Frequency (MHz),Level (${written})\n${rows(20, (i) => `${1 + i / 100},${0.5 + (i % 3) / 10}`)}`,
    ).traces;
    expect(trace!.unit).toMatchObject({ name, scale });
    expect(trace!.frequencyHz[0]).toBe(1e6);
  });

  test('settings from a preamble in any order and notation', () => {
    const [trace] = read(
      'Detector: RMS\nRBW;3 kHz\nAverage Count;32\nAveraging Type;Power (RMS)\nStart;9,00E+3;Hz\nAttenuation;10 dB\nSweep Time;250 ms\n' +
        'Frequency (Hz);Level (dBm)\n' +
        rows(40, (i) => `${9000 + 1000 * i};-9${i % 10},5`),
    ).traces;
    expect(trace!.settings).toMatchObject({
      detector: 'rms',
      rbwHz: 3000,
      averages: 32,
      averaging: 'power',
      attenuationDb: 10,
      sweepTimeS: 0.25,
    });
  });

  test('several pairs side by side on a line, and comment marks before statements', () => {
    const [trace] = read(`# RBW,10000,VBW,30000\n# Averages = 16\n${plain}`).traces;
    expect(trace!.settings).toMatchObject({ rbwHz: 10_000, vbwHz: 30_000, averages: 16 });
  });

  test('what nobody said is unknown and warned of, never guessed in silence', () => {
    const capture = read(plain);
    expect(capture.traces[0]!.unit.name).toBe('unknown');
    expect(capture.traces[0]!.settings).toMatchObject({
      rbwHz: null,
      averages: null,
      averaging: 'unknown',
      detector: 'unknown',
    });
    expect(capture.warnings.join()).toMatch(/no unit.*Hz/);
    expect(capture.warnings.join()).toMatch(/no level unit/);
  });

  test('an index column first, and a level column before the frequency column', () => {
    const index = read(`,freq,Va\n${rows(30, (i) => `${i},${i * 5},${0.1 + (i % 4)}`)}`).traces;
    expect(index).toHaveLength(1);
    expect(index[0]!.frequencyHz[2]).toBe(10);
    const swapped = read(`Level (dBm),Frequency (Hz)\n${rows(30, (i) => `-9${i % 10},${1e6 + i}`)}`).traces;
    expect(swapped[0]!.frequencyHz[1]).toBe(1_000_001);
    expect(swapped[0]!.level[1]).toBe(-91);
    const unnamed = read(rows(30, (i) => `-9${i % 10},${1e6 + i * 10}`)).traces;
    expect(unnamed[0]!.frequencyHz[1]).toBe(1_000_010);
  });

  test('several traces with statements per trace; blank ones left out', () => {
    const capture = read(
      'Detector,RMS,Peak,RMS\nTrace Type,Average,Maxhold,Blank\nTrace Name,now,held,off\nY Axis Units,dBm\nDATA\n' +
        rows(30, (i) => `${1e6 + i * 100},-90.${i % 10},-80,-999.25`),
    );
    expect(capture.traces.map((trace) => trace.label)).toEqual(['now', 'held']);
    expect(capture.traces.map((trace) => trace.settings.detector)).toEqual(['rms', 'positive-peak']);
    expect(capture.traces[1]!.settings.averaging).toBe('max-hold');
  });

  test('a level column alone with start, stop and points above it', () => {
    const capture = read(
      `Start Frequency,1 MHz\nStop Frequency,2 MHz\nPoints,101\nUnit,dBm\n${rows(101, (i) => `-9${i % 10}.5`)}`,
    );
    expect(capture.traces[0]!.frequencyHz[50]).toBe(1.5e6);
    expect(capture.warnings.join()).toMatch(/computed/);
  });

  test('centre and span stand for start and stop', () => {
    const [trace] = read(`Center,10 MHz\nSpan,2 MHz\n${rows(11, (i) => `-9${i % 10}.5`)}`).traces;
    expect(trace!.frequencyHz[0]).toBe(9e6);
    expect(trace!.frequencyHz[10]).toBe(11e6);
  });

  test('blocks parted by blank lines are traces of their own when the frequency starts again, one trace when it goes on', () => {
    const block = rows(20, (i) => `${1000 + i} -80.5`);
    expect(read(`${block}\n${block}\n${block}`).traces).toHaveLength(3);
    const next = rows(20, (i) => `${1020 + i} -80.5`);
    const [whole] = read(`${block}\n${next}`).traces;
    expect(whole!.frequencyHz).toHaveLength(40);
  });

  test('a descending axis is turned round and said', () => {
    const capture = read(rows(20, (i) => `${2000 - i},${-80 - i}`));
    expect(capture.traces[0]!.frequencyHz[0]).toBe(1981);
    expect(capture.traces[0]!.level[0]).toBe(-99);
    expect(capture.warnings.join()).toMatch(/turned round/);
  });

  test('contradictions are warnings: points, start frequency, a marker in another unit or at another level', () => {
    const table = rows(40, (i) => `${1e6 + i * 1e4},-9${i % 10}`);
    expect(read(`Points,50\nFrequency (Hz),Level (dBm)\n${table}`).warnings.join()).toMatch(/50 points.*40/);
    expect(read(`Start,5 MHz\nFrequency (Hz),Level (dBm)\n${table}`).warnings.join()).toMatch(/start frequency/);
    const marker = (text: string): string =>
      read(
        `Marker,Mode,X Axis,Amplitude\n1,Normal,1.1 MHz,${text}\n\nFrequency (Hz),Level (dBm)\n${table}`,
      ).warnings.join();
    expect(marker('-90 dBuV')).toMatch(/Marker 1 is in dBµV/);
    expect(marker('-20 dBm')).toMatch(/Marker 1 states -20 dBm/);
    expect(marker('-90 dBm')).not.toMatch(/Marker/);
  });

  test('not-a-number and empty cells are blank points, said with their number', () => {
    const capture = read(`Frequency (Hz),Level (dBm)\n1000,-80\n1001,NaN\n1002,\n1003,-83\n1004,-inf\n`);
    expect([...capture.traces[0]!.level].map((v) => Number.isNaN(v))).toEqual([false, true, true, false, true]);
    expect(capture.warnings.join()).toMatch(/3 of 5 points/);
  });

  test('explicit plus signs, quotes, trailing delimiters and exponents', () => {
    const [trace] = read('+3.250000000e+08,"-8.5e1",\n+3.250086957e+08,"-9.7e+01",\n').traces;
    expect([...trace!.frequencyHz]).toEqual([325_000_000, 325_008_695.7]);
    expect([...trace!.level]).toEqual([-85, -97]);
  });
});

describe('readCapture(bytes, file): bad input', () => {
  test.each([
    ['an empty file', new Uint8Array(0), /no bytes/],
    ['binary', Uint8Array.from({ length: 4000 }, (_, i) => (i * 37) % 256), /not text/],
    ['prose', bytes('Dear colleague,\nplease find the trace attached.\n'), /no table of numbers/],
    ['a picture', Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10]), /PNG/],
    ['a single column', bytes(rows(20, (i) => `-9${i % 10}.5`)), /levels alone/],
    ['a frequency twice', bytes('1000,-80\n2000,-81\n2000,-82\n3000,-80\n'), /second time/],
    [
      'frequencies that go back',
      bytes('Frequency (Hz),dBm\n1000,-80\n2000,-81\n1500,-82\n3000,-80\n'),
      /1500 Hz after 2000/,
    ],
    ['a gap in the frequencies', bytes('Frequency (Hz),dBm\n1000,-80\n,-81\n3000,-80\n4000,-80\n'), /no frequency/],
  ])('%s is refused with file, place, found, expected and way out', (_, input, found) => {
    const problem = problemOf(input);
    expect(problem.found).toMatch(found);
    expect(problem.file).toBe('bench.csv');
    for (const part of [problem.place, problem.expected, problem.wayOut]) expect(part.length).toBeGreaterThan(3);
  });

  test('names the line of a repeated frequency', () => {
    expect(problemOf('1000,-80\n2000,-81\n2000,-82\n3000,-80\n').place).toMatch(/line 3/);
  });

  test('a file cut off in its last line is read without it, and that is said', () => {
    const capture = read(`Frequency (Hz),Level (dBm)\n${rows(30, (i) => `${1000 + i},-80.5`)}10`);
    expect(capture.traces[0]!.level).toHaveLength(30);
    expect(capture.warnings.join()).toMatch(/cut off/);
  });
});
