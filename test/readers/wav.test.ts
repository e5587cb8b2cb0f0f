import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { bytesInMemory, type ByteSource } from '../../src-main/model/byte-source.ts';
import { InputError } from '../../src-main/model/input-problem.ts';
import { readSamples } from '../../src-main/model/read-samples.ts';
import { readCapture } from '../../src-main/readers/read-capture.ts';
import { hasScipy, NO_SCIPY, python } from '../scipy.ts';
import { ascii, chunk, formatChunk, joined, numbers, wav } from './build.ts';
import { seeded } from './mutate.ts';

const recordingOf = (bytes: Uint8Array, file = 'a.wav', hints = {}) =>
  readCapture(bytes, file, new Map(), hints).recordings![0]!;
const samplesOf = (bytes: Uint8Array, channel = 0) => {
  const recording = recordingOf(bytes);
  return [...readSamples(recording, bytesInMemory(bytes), channel, 0, recording.sampleCount).real];
};

describe('readCapture(WAV)', () => {
  test.each([
    [8, 'u8', [0, 128, 255], [-1, 0, 127 / 128]],
    [16, 'i16', [-32_768, 0, 16_384, 32_767], [-1, 0, 0.5, 32_767 / 32_768]],
    [24, 'i24', [-8_388_608, -1, 0, 4_194_304], [-1, -(2 ** -23), 0, 0.5]],
    [32, 'i32', [-2_147_483_648, 0, 1_073_741_824], [-1, 0, 0.5]],
  ] as const)('scales PCM of %d bits to full scale', (bits, kind, stored, values) => {
    const bytes = wav({ bits }, chunk('data', numbers(kind, stored)));
    expect(samplesOf(bytes)).toEqual(values);
    expect(recordingOf(bytes).channels[0]).toMatchObject({ unit: 'FS', fullScale: 1 - 2 ** (1 - bits) });
  });

  test.each([32, 64] as const)('takes float of %d bits as it is', (bits) => {
    const kind = bits === 32 ? 'f32' : 'f64';
    const bytes = wav({ tag: 3, bits }, chunk('data', numbers(kind, [-1.5, 0, 0.25])));
    expect(samplesOf(bytes)).toEqual([-1.5, 0, 0.25]);
    expect(recordingOf(bytes).channels[0]!.fullScale).toBeNull();
  });

  test('reads the extensible form by its sub-format', () => {
    expect(samplesOf(wav({ extensible: true, bits: 16 }, chunk('data', numbers('i16', [16_384]))))).toEqual([0.5]);
    expect(samplesOf(wav({ extensible: true, tag: 3, bits: 32 }, chunk('data', numbers('f32', [0.5]))))).toEqual([0.5]);
  });

  test('strings hundreds of chunks of data together, with others and padding between', () => {
    const pieces = Array.from({ length: 690 }, (_, i) => [
      chunk('note', ascii('odd')),
      chunk('data', numbers('i16', [i, -i, i])),
    ]);
    const bytes = wav({ bits: 16 }, ...pieces.flat());
    const values = samplesOf(bytes);
    expect(values).toHaveLength(690 * 3);
    expect(values[3 * 689]! * 32_768).toBe(689);
    // any block that straddles chunks is the same as the whole
    const recording = recordingOf(bytes);
    const random = seeded(5);
    for (let t = 0; t < 200; t++) {
      const from = Math.floor(random() * values.length);
      const count = Math.floor(random() * 40);
      expect([...readSamples(recording, bytesInMemory(bytes), 0, from, count).real]).toEqual(
        values.slice(from, from + count),
      );
    }
  });

  test('parts the channels of a frame', () => {
    const bytes = wav({ bits: 16, channels: 3 }, chunk('data', numbers('i16', [1, 2, 3, 4, 5, 6])));
    expect(samplesOf(bytes, 1).map((v) => v * 32_768)).toEqual([2, 5]);
  });

  test('RF64 of 5 GB: sizes of 64 bits, and nothing but heads is read', () => {
    const dataBytes = 5e9;
    const wide = (value: number) => numbers('u32', [value % 2 ** 32, Math.floor(value / 2 ** 32)]);
    const head = joined(
      'RF64',
      numbers('u32', [0xffffffff]),
      'WAVE',
      chunk('ds64', joined(wide(dataBytes + 100), wide(dataBytes), wide(dataBytes / 2), numbers('u32', [0]))),
      formatChunk({ bits: 16 }),
      'data',
      numbers('u32', [0xffffffff]),
    );
    let largest = 0;
    const source: ByteSource = {
      length: head.length + dataBytes,
      read: (from, to) => {
        largest = Math.max(largest, to - from);
        const out = new Uint8Array(to - from);
        out.set(head.subarray(Math.min(from, head.length), Math.min(to, head.length)));
        return out;
      },
    };
    const [recording] = readCapture(source, 'long.wav').recordings!;
    expect(recording!.sampleCount).toBe(2.5e9);
    expect(largest).toBeLessThanOrEqual(65_536);
    expect(readSamples(recording!, source, 0, 2.5e9 - 5, 10).real).toHaveLength(5);
  });

  test('a recording that was never closed is taken as far as it goes, and that is said', () => {
    const bytes = joined(
      'RIFF',
      numbers('u32', [0]),
      'WAVE',
      formatChunk({ bits: 16 }),
      'data',
      numbers('u32', [0xffffffff]),
      numbers('i16', [1, 2, 3]),
    );
    const capture = readCapture(bytes, 'a.wav');
    expect(capture.recordings![0]!.sampleCount).toBe(3);
    expect(capture.warnings.join()).toMatch(/never written/);
  });

  test('data cut off are taken to the last whole frame, and that is said', () => {
    const whole = wav({ bits: 16, channels: 2 }, chunk('data', numbers('i16', [1, 2, 3, 4, 5, 6])));
    const capture = readCapture(whole.subarray(0, whole.length - 3), 'a.wav', new Map(), {
      twoChannelsAre: 'channels',
    });
    expect(capture.recordings![0]!.sampleCount).toBe(2);
    expect(capture.warnings.join()).toMatch(/cut off/);
  });

  test.each([
    ['A-law', wav({ tag: 6, bits: 8 }, chunk('data', ascii('abcd'))), /A-law/],
    ['no data', wav({ bits: 16 }), /no chunk of data/],
    ['no format', joined('RIFF', numbers('u32', [12]), 'WAVE', chunk('data', ascii('abcd'))), /no format chunk/],
    ['0 Hz', wav({ bits: 16, rateHz: 0 }, chunk('data', ascii('abcd'))), /0 Hz/],
    ['no channels', wav({ bits: 16, channels: 0 }, chunk('data', ascii('abcd'))), /no channels/],
    ['12 bits in gaps', wav({ bits: 12 }, chunk('data', ascii('abcd'))), /bits/],
    ['another form', joined('RIFF', numbers('u32', [4]), 'AVI '), /AVI/],
    ['a head alone', ascii('RIFF'), /end of the file/],
  ])('%s is refused', (_, bytes, found) => {
    let problem = '';
    try {
      readCapture(bytes, 'a.wav');
    } catch (error) {
      if (error instanceof InputError) problem = error.message;
    }
    expect(problem).toMatch(found);
  });

  describe('two channels', () => {
    const random = seeded(3);
    const noise = () => (random() + random() + random() - 1.5) * 6000;
    const pairs = (f: () => [number, number]) =>
      wav(
        { bits: 16, channels: 2 },
        chunk('data', numbers('i16', Array.from({ length: 4000 }, f).flat().map(Math.round))),
      );
    test('of equal power and no correlation are I/Q, and that is said', () => {
      const capture = readCapture(
        pairs(() => [noise(), noise()]),
        'a.wav',
      );
      expect(capture.recordings![0]!.complex).toBe(true);
      expect(capture.warnings.join()).toMatch(/taken as in-phase and quadrature/);
    });
    test('that go together, or of unlike power, are two signals', () => {
      const together = pairs(() => {
        const x = noise();
        return [x, x + noise() / 5];
      });
      const unlike = pairs(() => [noise(), noise() / 3]);
      for (const bytes of [together, unlike]) expect(recordingOf(bytes).channels).toHaveLength(2);
    });
    test('are what the user says, and the name of the file', () => {
      const bytes = pairs(() => [noise(), noise() / 3]);
      expect(recordingOf(bytes, 'a.wav', { twoChannelsAre: 'iq' }).complex).toBe(true);
      expect(recordingOf(bytes, 'bench_IQ.wav').complex).toBe(true);
      expect(recordingOf(bytes, 'liquid.wav').complex).toBe(false);
      expect(recordingOf(bytes, 'bench_iq.wav', { twoChannelsAre: 'channels' }).complex).toBe(false);
    });
  });

  test.skipIf(!hasScipy)(
    `files that scipy.io.wavfile writes come back to the bit (${hasScipy ? 'present' : NO_SCIPY})`,
    () => {
      const folder = mkdtempSync(join(tmpdir(), 'spurledger-wav-'));
      const written = python<Record<string, number[]>>(
        folder,
        `
import numpy as np, scipy.io.wavfile as w, os
rng = np.random.default_rng(1)
out = {}
for name, kind, scale, shift in [('u8', np.uint8, 1/128, -1), ('i16', np.int16, 2**-15, 0), ('i32', np.int32, 2**-31, 0), ('f32', np.float32, 1, 0), ('f64', np.float64, 1, 0)]:
    if np.issubdtype(kind, np.floating):
        x = rng.standard_normal((500, 3)).astype(kind)
    else:
        i = np.iinfo(kind)
        x = rng.integers(i.min, i.max, (500, 3), dtype=kind, endpoint=True)
    w.write(os.path.join(data, name + '.wav'), 44100, x)
    out[name] = (x[:, 2].astype(float) * scale + shift).tolist()
print(json.dumps(out))`,
      );
      for (const [name, values] of Object.entries(written)) {
        const bytes = new Uint8Array(readFileSync(join(folder, `${name}.wav`)));
        expect(samplesOf(bytes, 2), name).toEqual(values);
        expect(recordingOf(bytes).sampleRateHz).toBe(44_100);
      }
      rmSync(folder, { recursive: true });
    },
  );
});
