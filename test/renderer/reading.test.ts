import { describe, expect, test } from 'vitest';
import { EMPTY_FORM, formOf, hintsOf } from '../../src-renderer/state/reading-form.ts';
import { arriving, bytesOf, tarOf } from '../../src-renderer/state/together.ts';
import { tarEntries } from '../../src-main/readers/tar/entries.ts';
import { bytesInMemory } from '../../src-main/model/byte-source.ts';
import { readCapture } from '../../src-main/readers/read-capture.ts';

const file = (name: string, content: string | Uint8Array<ArrayBuffer> = 'x') => new File([content], name);

describe('arriving(files)', () => {
  test('each file is a capture; files of one stem come along with each other', () => {
    const files = [file('tone.txt'), file('tone.x'), file('other.csv')];
    expect(arriving(files).map(({ file, beside }) => [file.name, beside.map(({ name }) => name)])).toEqual([
      ['tone.txt', ['tone.x']],
      ['tone.x', ['tone.txt']],
      ['other.csv', []],
    ]);
  });

  test('metadata and samples of one stem are one capture, in the archive of their format', async () => {
    const meta = JSON.stringify({
      global: { 'core:datatype': 'ru8', 'core:sample_rate': 1000, 'core:version': '1.2.0' },
      captures: [],
      annotations: [],
    });
    const [only, ...others] = arriving([file('r.sigmf-data', new Uint8Array(300)), file('r.sigmf-meta', meta)]);
    expect(others).toEqual([]);
    const { file: name, bytes, companions } = await bytesOf(only!);
    expect([name, companions]).toEqual(['r.sigmf', []]);
    expect(readCapture(bytes, name).recordings![0]!.sampleCount).toBe(300);
  });

  test('samples alone, and metadata alone, stay what they are: the reader says what is missing', () => {
    expect(arriving([file('a.sigmf-data'), file('b.sigmf-meta')])).toHaveLength(2);
  });

  test('large neighbours do not come along', () => {
    const large = Object.defineProperty(file('tone.dat'), 'size', { value: 1e9 });
    expect(arriving([file('tone.txt'), large])[0]!.beside).toEqual([]);
  });
});

test('tarOf(files) is read back entry by entry, of any length, and the same every time', () => {
  const files = [0, 1, 511, 512, 513].map((n) => [`f${n}`, new Uint8Array(n).fill(n % 251)] as const);
  const archive = tarOf(files);
  expect(tarEntries(bytesInMemory(archive), 'a.tar').map(({ name, size }) => [name, size])).toEqual(
    files.map(([name, { length }]) => [name, length]),
  );
  for (const { at, size } of tarEntries(bytesInMemory(archive), 'a.tar'))
    expect(new Set(archive.subarray(at, at + size)).size).toBeLessThan(2);
  expect(tarOf(files)).toEqual(archive);
});

describe('hintsOf(form)', () => {
  test('empty fields are no corrections', () => {
    expect(hintsOf(EMPTY_FORM)).toEqual({ hints: {}, problems: {} });
  });

  test('is what formOf(hints) was made of', () => {
    const hints = {
      separator: '\t',
      decimalMark: ',',
      headerLines: 4,
      frequencyColumn: 2,
      levelColumns: [1, 3],
      axisIs: 'frequency',
      frequencyFactor: 1e6,
      unit: 'dBm',
      startHz: -5,
      stepHz: 0.5,
      twoChannelsAre: 'iq',
      sampleRateHz: 48_000,
      centreHz: 0,
    } as const;
    expect(hintsOf(formOf(hints))).toEqual({ hints, problems: {} });
  });

  test('the first row on line 1 means no lines above it', () => {
    expect(hintsOf({ ...EMPTY_FORM, headerLines: '1' }).hints).toEqual({ headerLines: 0 });
  });

  test.each([
    ['headerLines', '0'],
    ['frequencyColumn', '1.5'],
    ['levelColumns', '2 x'],
    ['sampleRateHz', '0'],
    ['startHz', 'low'],
    ['stepHz', '-1'],
  ] as const)('%s = “%s” is said to be wrong and left out', (field, typed) => {
    const { hints, problems } = hintsOf({ ...EMPTY_FORM, [field]: typed });
    expect(problems[field]).toBeDefined();
    expect(hints).toEqual({});
  });

  test('decimal commas and a typographic minus are numbers; first frequency and step go together', () => {
    expect(hintsOf({ ...EMPTY_FORM, centreHz: '\u22121,5' }).hints).toEqual({ centreHz: -1.5 });
    expect(hintsOf({ ...EMPTY_FORM, startHz: '5' }).problems.stepHz).toMatch(/go together/);
  });
});
