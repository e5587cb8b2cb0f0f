import { describe, expect, test } from 'vitest';
import { bytesInMemory } from '../../src-main/model/byte-source.ts';
import { InputError } from '../../src-main/model/input-problem.ts';
import { readSamples } from '../../src-main/model/read-samples.ts';
import { readCapture } from '../../src-main/readers/read-capture.ts';
import { annotatedSigmf, sigmfMetadata } from '../../src-main/readers/sigmf/write-sigmf.ts';
import { ascii, joined, numbers, sigmfMeta, tar } from './build.ts';

type Part = Record<string, unknown>;
const open = (global: Part, data: Uint8Array, captures?: Part[], annotations?: Part[]) =>
  readCapture(data, 'r.sigmf-data', new Map([['r.sigmf-meta', sigmfMeta(global, captures, annotations)]]));
const real = (data: Uint8Array, global: Part) => {
  const [recording] = open(global, data).recordings!;
  return readSamples(recording!, bytesInMemory(data), 0, 0, recording!.sampleCount);
};
const RATE = { 'core:sample_rate': 1000 };

describe('readCapture(SigMF)', () => {
  test.each([
    ['i8', [-128, 0, 127], [-1, 0, 127 / 128]],
    ['u8', [0, 128, 255], [-1, 0, 127 / 128]],
    ['i16', [-32_768, 0, 8192], [-1, 0, 0.25]],
    ['u16', [0, 32_768, 49_152], [-1, 0, 0.5]],
    ['i32', [-2_147_483_648, 0, 536_870_912], [-1, 0, 0.25]],
    ['u32', [0, 2_147_483_648, 3_221_225_472], [-1, 0, 0.5]],
    ['f32', [-0.5, 0, 3], [-0.5, 0, 3]],
    ['f64', [-0.1, 0, 1e-9], [-0.1, 0, 1e-9]],
  ] as const)('every core format of %s: real and complex, both byte orders', (kind, stored, values) => {
    for (const order of ['le', 'be'] as const) {
      const suffix = kind.endsWith('8') ? '' : `_${order}`;
      const data = numbers(kind, stored, order === 'be');
      expect([...real(data, { ...RATE, 'core:datatype': `r${kind}${suffix}` }).real]).toEqual(values);
      const twice = numbers(kind, [...stored, ...stored].slice(0, 4), order === 'be');
      const block = real(twice, { ...RATE, 'core:datatype': `c${kind}${suffix}` });
      expect([...block.real]).toEqual([values[0], values[2]]);
      expect([...block.imaginary!]).toEqual([values[1], values[0]]);
    }
  });

  // names, places and units of SigMF's capture details extension, version 1.0.0, its table of captures
  test('gain and attenuation of the capture details extension go with each record; another gain begins another record', () => {
    const { recordings } = open({ ...RATE, 'core:datatype': 'ru8' }, new Uint8Array(300), [
      { 'core:sample_start': 0, 'capture_details:gain': 40, 'capture_details:attenuation': 10 },
      { 'core:sample_start': 100, 'capture_details:gain': 40, 'capture_details:attenuation': 10 },
      { 'core:sample_start': 200, 'capture_details:gain': 20 },
    ]);
    expect(recordings!.map(({ sampleCount, gainDb, attenuationDb }) => [sampleCount, gainDb, attenuationDb])).toEqual([
      [200, 40, 10],
      [100, 20, null],
    ]);
    const strange = () =>
      open({ ...RATE, 'core:datatype': 'ru8' }, new Uint8Array(10), [{ 'capture_details:gain': 'high' }]);
    expect(strange).toThrow(InputError);
  });

  // Byte boundaries that the format's reference implementation (sigmf-python, tests/test_sigmffile.py) asserts for a file of 256 bytes
  test.each([
    [
      'a header and a trailer',
      [{ 'core:sample_start': 0, 'core:header_bytes': 32 }, { 'core:sample_start': 128 }],
      32,
      [
        [32, 128],
        [160, 64],
      ],
    ],
    [
      'two headers',
      [
        { 'core:sample_start': 0, 'core:header_bytes': 32 },
        { 'core:sample_start': 128, 'core:header_bytes': 16 },
      ],
      16,
      [
        [32, 128],
        [176, 64],
      ],
    ],
    [
      'three segments',
      [
        { 'core:sample_start': 0, 'core:header_bytes': 32 },
        { 'core:sample_start': 32 },
        { 'core:sample_start': 128, 'core:header_bytes': 32 },
      ],
      0,
      [
        [32, 32],
        [64, 96],
        [192, 64],
      ],
    ],
  ])('%s: the samples lie where the reference implementation finds them', (_, captures, trailing, expected) => {
    const global = { ...RATE, 'core:datatype': 'ru8', 'core:trailing_bytes': trailing };
    const { recordings } = open(global, new Uint8Array(256), captures);
    const stretches = recordings!.flatMap(({ samples }) => (samples.kind === 'stored' ? samples.stretches : []));
    expect(stretches.map(({ offsetBytes, sampleCount }) => [offsetBytes, sampleCount])).toEqual(expected);
  });

  test('a segment of another frequency or time is a record of its own; one that says neither goes on', () => {
    const captures = [
      { 'core:sample_start': 0, 'core:frequency': 10e6, 'core:datetime': '2026-03-01T10:00:00Z' },
      { 'core:sample_start': 10, 'core:frequency': 10e6 },
      { 'core:sample_start': 20, 'core:frequency': 12e6 },
      { 'core:sample_start': 30, 'core:frequency': 12e6, 'core:global_index': 3000 },
    ];
    const { recordings } = open({ ...RATE, 'core:datatype': 'ci8' }, new Uint8Array(80), captures);
    expect(recordings!.map(({ sampleCount, centreHz }) => [sampleCount, centreHz])).toEqual([
      [20, 10e6],
      [10, 12e6],
      [10, 12e6],
    ]);
    expect(recordings![0]!.takenAt).toBe('2026-03-01T10:00:00Z');
  });

  test('annotations count from the record they fall into, and are cut to it', () => {
    const captures = [
      { 'core:sample_start': 0, 'core:frequency': 1e6 },
      { 'core:sample_start': 50, 'core:frequency': 2e6 },
    ];
    const remarks = [
      {
        'core:sample_start': 40,
        'core:sample_count': 30,
        'core:freq_lower_edge': 1e6,
        'core:freq_upper_edge': 2e6,
        'core:label': 'hop',
        'core:comment': 'both',
      },
    ];
    const { recordings } = open({ ...RATE, 'core:datatype': 'ci8' }, new Uint8Array(200), captures, remarks);
    expect(recordings![0]!.annotations).toMatchObject([
      { startSample: 40, sampleCount: 10, lowHz: 1e6, label: 'hop', comment: 'both' },
    ]);
    expect(recordings![1]!.annotations).toMatchObject([{ startSample: 0, sampleCount: 20 }]);
  });

  test('fields in the wrong part are taken from where they stand, and that is said', () => {
    const capture = open({ 'core:datatype': 'cf32_le', 'core:frequency': 14e6 }, new Uint8Array(80), [
      { 'core:sample_start': 0, 'core:sample_rate': 48_000 },
    ]);
    expect(capture.recordings![0]).toMatchObject({ sampleRateHz: 48_000, centreHz: 14e6 });
    expect(capture.warnings.join()).toMatch(/“core:sample_rate” stands in the wrong part.*“global”/);
    expect(capture.warnings.join()).toMatch(/“core:frequency” stands in the wrong part.*“captures”/);
  });

  test('a dataset that is a later part of a longer one counts its samples from its own first', () => {
    const { recordings } = open({ ...RATE, 'core:datatype': 'ru8', 'core:offset': 1000 }, new Uint8Array(100), [
      { 'core:sample_start': 1000, 'core:frequency': 1 },
      { 'core:sample_start': 1060, 'core:frequency': 2 },
    ]);
    expect(recordings!.map(({ sampleCount }) => sampleCount)).toEqual([60, 40]);
  });

  test('an archive is read where it lies, several pairs of it', () => {
    const data = numbers('i16', [100, 200, 300]);
    const bytes = tar(
      ['a/a.sigmf-meta', sigmfMeta({ ...RATE, 'core:datatype': 'ri16_le' })],
      ['a/a.sigmf-data', data],
      ['b/b.sigmf-meta', sigmfMeta({ ...RATE, 'core:datatype': 'ri16_le' })],
      ['b/b.sigmf-data', data],
    );
    const { recordings } = readCapture(bytes, 'both.sigmf');
    expect(recordings).toHaveLength(2);
    expect([...readSamples(recordings![1]!, bytesInMemory(bytes), 0, 0, 9).real].map((v) => v * 32_768)).toEqual([
      100, 200, 300,
    ]);
  });

  test('the metadata name the file of samples, of any ending', () => {
    const meta = sigmfMeta({ ...RATE, 'core:datatype': 'ru8', 'core:dataset': 'raw.bin' });
    const [recording] = readCapture(
      meta,
      'folder/r.sigmf-meta',
      new Map([['folder/raw.bin', { length: 5e9 }]]),
    ).recordings!;
    expect(recording!.sampleCount).toBe(5e9);
    expect(recording!.samples).toMatchObject({ kind: 'stored', dataFile: 'folder/raw.bin' });
  });

  test.each([
    ['no data beside it', sigmfMeta({ ...RATE, 'core:datatype': 'ru8' }), /no file of samples/],
    ['metadata only', sigmfMeta({ 'core:datatype': 'ru8', 'core:metadata_only': true }), /metadata without samples/],
    ['no JSON', ascii('{"global": {"core:datatype": "ru8",}'), /no JSON/],
  ])('%s is refused', (_, meta, found) => {
    expect(() => readCapture(meta, 'r.sigmf-meta')).toThrow(InputError);
    expect(() => readCapture(meta, 'r.sigmf-meta')).toThrow(found);
  });

  test.each([
    [{ 'core:datatype': 'cf16_le', ...RATE }, /core:datatype.*cf16_le/],
    [{ 'core:datatype': 'ru8' }, /core:sample_rate.*nothing/],
    [{ 'core:datatype': 'ru8', 'core:sample_rate': -5 }, /core:sample_rate.*-5/],
    [{ 'core:datatype': 'ru8', 'core:sample_rate': 'fast' }, /core:sample_rate.*"fast"/],
    [{ 'core:datatype': 'ru8', ...RATE, 'core:num_channels': 1.5 }, /core:num_channels.*1\.5/],
    [{ 'core:datatype': 'ru8', ...RATE, 'core:trailing_bytes': 500 }, /no samples/],
  ])('%o is refused with the field', (global, found) => {
    expect(() => open(global, new Uint8Array(100))).toThrow(found);
  });

  test('samples without metadata are refused with the name that is missing', () => {
    expect(() => readCapture(new Uint8Array(10), 'x.sigmf-data')).toThrow(/x\.sigmf-meta/);
  });

  describe('written', () => {
    const marks = [
      {
        startSample: 5,
        sampleCount: 20,
        lowHz: 9.9e6,
        highHz: 10.1e6,
        label: 'U7 × 3',
        comment: '12 dB over the floor',
      },
      { startSample: 0, sampleCount: null, lowHz: null, highHz: null, label: 'all', comment: '' },
    ];
    test('annotations read back as they were, others stay, and our own are replaced', () => {
      const meta = new TextDecoder().decode(
        sigmfMeta(
          { ...RATE, 'core:datatype': 'ci8' },
          [{ 'core:sample_start': 0 }],
          [{ 'core:sample_start': 3, 'core:label': 'theirs' }],
        ),
      );
      const twice = annotatedSigmf(annotatedSigmf(meta, 'r', marks.slice(0, 1)), 'r', marks);
      const { recordings } = readCapture(
        new Uint8Array(200),
        'r.sigmf-data',
        new Map([['r.sigmf-meta', ascii(twice.replaceAll('×', 'x'))]]),
      );
      expect(
        recordings![0]!.annotations.map(({ label, startSample, sampleCount }) => [label, startSample, sampleCount]),
      ).toEqual([
        ['all', 0, null],
        ['theirs', 3, null],
        ['U7 x 3', 5, 20],
      ]);
      expect(recordings![0]!.annotations[2]).toMatchObject({
        lowHz: 9.9e6,
        highHz: 10.1e6,
        comment: '12 dB over the floor',
      });
    });
    test('new metadata for the samples of another format read back to the same samples', () => {
      const bytes = joined('head', numbers('f32', [1, 2, 3, 4], true));
      const recording = {
        ...open({ ...RATE, 'core:datatype': 'cf32_be' }, new Uint8Array(16), [
          { 'core:sample_start': 0, 'core:frequency': 5e6 },
        ]).recordings![0]!,
        samples: {
          kind: 'stored',
          dataFile: null,
          type: 'f32',
          bigEndian: true,
          stretches: [{ offsetBytes: 4, sampleCount: 2 }],
        } as const,
      };
      const meta = ascii(sigmfMetadata(recording, marks.slice(1)));
      const [back] = readCapture(bytes, 'r.sigmf-data', new Map([['r.sigmf-meta', meta]])).recordings!;
      expect([...readSamples(back!, bytesInMemory(bytes), 0, 0, 2).imaginary!]).toEqual([2, 4]);
      expect(back).toMatchObject({ centreHz: 5e6, sampleRateHz: 1000, annotations: [{ label: 'all' }] });
    });
  });
});
