import { mkdtempSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, onTestFinished, test } from 'vitest';
import { wav } from '../api/wav.ts';
import { ABSENT, realCaptures } from '../shared.ts';
import { folderWith, run } from './in-process.ts';

interface Document {
  captures: {
    unit: string;
    rbw_hz: number;
    points: number;
    warnings: string[];
    spurs: { frequency_hz: number; level: number; cause: string }[];
  }[];
}
const triaged = async (folder: string, ...words: string[]): Promise<Document['captures'][0]> => {
  const { status, out, err } = await run(folder, 'triage', '--json', ...words);
  expect(status, err).toBe(0);
  return (JSON.parse(out) as Document).captures[0]!;
};
const strongest = ({ spurs }: Document['captures'][0]) => spurs.reduce((a, b) => (a.level > b.level ? a : b));

const tones = [{ frequencyHz: 10_000, peak: 0.1 }];

describe('a recording is triaged from the command line', () => {
  test('as WAV, NumPy array, SigMF pair and text, with the same tone each time', async () => {
    const samples = 2 ** 15;
    const sampleRateHz = 64_000;
    const bytes = wav({ samples, sampleRateHz, tones, noise: 1e-8 });
    const floats = bytes.slice(44);
    const values = new Float32Array(floats.buffer, 0, samples);
    const head = `{'descr': '<f4', 'fortran_order': False, 'shape': (${samples},), }`;
    const text = ['Time (s),Voltage (V)', ...Array.from(values, (v, n) => `${n / sampleRateHz},${v}`)].join('\n');
    const folder = folderWith({
      'a.wav': bytes,
      'b.sigmf-meta': JSON.stringify({
        global: { 'core:datatype': 'rf32_le', 'core:sample_rate': sampleRateHz, 'core:version': '1.0.0' },
        captures: [{ 'core:sample_start': 0 }],
        annotations: [],
      }),
      'b.sigmf-data': floats,
      'c.csv': text,
      'd.npy': npy(head, floats),
    });
    for (const file of ['a.wav', 'b.sigmf-meta', 'c.csv', 'd.npy']) {
      // an array of numbers alone knows no time
      const stated = file === 'd.npy' ? ['--sample-rate-hz', '64000'] : [];
      const capture = await triaged(folder, file, ...stated);
      const tone = strongest(capture);
      expect(Math.abs(tone.frequency_hz - 10_000), file).toBeLessThan(0.1);
      // in volts the rms of 0.1 V peak is −23.01 dBV, of full scale it is −20 dBFS
      const expected = capture.unit === 'dBV' ? -23.0103 : -20;
      if (capture.unit !== 'unknown') expect(Math.abs(tone.level - expected), file).toBeLessThan(0.05);
    }
  });

  test('window, RBW, overlap, centre and scale are taken from the call', async () => {
    const folder = folderWith({ 'a.wav': wav({ samples: 2 ** 15, sampleRateHz: 64_000, tones, noise: 1e-8 }) });
    const asked = [
      '--window',
      'flat-top',
      '--rbw-hz',
      '100',
      '--overlap',
      '0.75',
      '--volts-per-unit',
      '2',
      '--impedance-ohm',
      '50',
    ];
    const capture = await triaged(folder, 'a.wav', ...asked);
    expect(capture.unit).toBe('dBm');
    expect(capture.rbw_hz).toBeCloseTo(100, 0);
    // 0.1 of full scale at 2 V a unit: 0.2 V peak, 0.02 V² across 50 Ω
    expect(Math.abs(strongest(capture).level - 10 * Math.log10(0.02 / 50 / 1e-3))).toBeLessThan(0.05);
  });

  test.each([
    [['--window', 'round'], /--window is "round"; expected one of rectangular, hann/],
    [['--rbw-hz', '0'], /--rbw-hz is "0"; expected a number above 0/],
    [['--overlap', '1'], /--overlap is "1"; expected a share from 0 to 0.95/],
    [['--centre-hz', '77k'], /--centre-hz is "77k"; expected a number/],
  ])('%j is a wrong call', async (words, message) => {
    const { status, err } = await run(folderWith(), 'triage', 'a.wav', ...words);
    expect(status).toBe(2);
    expect(err).toMatch(message);
  });

  test('read says what the recording holds and what spectrum is made of it', async () => {
    const folder = folderWith({ 'a.wav': wav({ samples: 2 ** 15, sampleRateHz: 64_000, tones, noise: 1e-8 }) });
    const { out } = await run(folder, 'read', '--json', 'a.wav');
    expect(JSON.parse(out)).toMatchObject({
      captures: [
        {
          unit: 'dBFS',
          recordings: [{ samples_are: 'real', sample_rate_hz: 64_000, samples: 2 ** 15, duration_s: 0.512 }],
          traces: [{ settings: { rbw_shape: 'noise', averaging: 'power' } }],
        },
      ],
    });
  });

  test('a file beyond what is held in memory gives the same as the same file in memory', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'spurledger-large-'));
    onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
    // 80 MB of samples, nearly all of it a hole in a sparse file: zeros after the tone
    const bytes = wav({ samples: 2 ** 15, sampleRateHz: 64_000, tones, noise: 1e-8 });
    const size = 80 * 1024 * 1024;
    const view = new DataView(bytes.buffer);
    view.setUint32(4, size - 8, true);
    view.setUint32(40, size - 44, true);
    const path = join(folder, 'large.wav');
    writeFileSync(path, bytes);
    truncateSync(path, size);
    const capture = await triaged(folder, 'large.wav');
    expect(Math.abs(strongest(capture).frequency_hz - 10_000)).toBeLessThan(1);
  });

  test('a record too short is refused with the place and the way out, and the others are still done', async () => {
    const folder = folderWith({
      'a.wav': wav({ samples: 8, sampleRateHz: 64_000 }),
      'b.wav': wav({ samples: 2 ** 15, sampleRateHz: 64_000, tones, noise: 1e-8 }),
    });
    const { status, out, err } = await run(folder, 'triage', '--json', 'a.wav', 'b.wav');
    expect(status).toBe(3);
    expect(err).toMatch(/a\.wav, recording: found 8 samples; expected at least 16 samples/);
    expect((JSON.parse(out) as Document).captures).toHaveLength(1);
  });
});

describe.skipIf(realCaptures === null)(`real recordings${realCaptures === null ? ` (${ABSENT})` : ''}`, () => {
  test.each(['a', 'b', 'c'])('station %s: the carrier stands at 0 Hz within one bin of 0.73 Hz', async (station) => {
    const capture = await triaged(realCaptures!, `iq-wav-longwave/station_${station}_77p5kHz_iq.wav`);
    const carrier = strongest(capture);
    expect(Math.abs(carrier.frequency_hz)).toBeLessThan(0.73);
    expect(carrier.cause).toBe('instrument');
  });

  test('a square wave of 1 kHz shows its odd harmonics', async () => {
    const { spurs } = await triaged(realCaptures!, 'scope-csv-layouts/second_volt_2ch_square.csv');
    for (const harmonic of [3, 5, 7]) {
      const near = spurs.some(({ frequency_hz }) => Math.abs(frequency_hz - 1000 * harmonic) < 60);
      expect(near, `${harmonic} kHz`).toBe(true);
    }
  });

  test('with the centre stated the carrier stands at 77.5 kHz, and still at the receiver’s own centre', async () => {
    const file = 'iq-wav-longwave/station_a_77p5kHz_iq.wav';
    const carrier = strongest(await triaged(realCaptures!, file, '--centre-hz', '77.5e3'));
    expect(Math.abs(carrier.frequency_hz - 77_500)).toBeLessThan(0.73);
    expect(carrier.cause).toBe('instrument');
  });

  test('a 1.2 kHz family shows at 2.4 kHz', async () => {
    const { spurs } = await triaged(realCaptures!, 'audio-wav-packets/mono_48k_packets.wav');
    expect(spurs.some(({ frequency_hz }) => Math.abs(frequency_hz - 2402) < 10)).toBe(true);
  });
});

/** A version 1.0 file: mark, version, length of the padded header, header, samples. */
function npy(head: string, samples: Uint8Array): Uint8Array {
  const padded = head.padEnd(Math.ceil((10 + head.length + 1) / 64) * 64 - 11) + '\n';
  const out = new Uint8Array(10 + padded.length + samples.length);
  out.set([0x93, 0x4e, 0x55, 0x4d, 0x50, 0x59, 1, 0, padded.length & 255, padded.length >> 8]);
  out.set(new TextEncoder().encode(padded), 10);
  out.set(samples, 10 + padded.length);
  return out;
}
