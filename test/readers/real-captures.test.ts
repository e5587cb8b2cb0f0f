import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { bytesInMemory } from '../../src-main/model/byte-source.ts';
import { readSamples } from '../../src-main/model/read-samples.ts';
import { readCapture } from '../../src-main/readers/read-capture.ts';
import { InputError } from '../../src-main/model/input-problem.ts';
import { ABSENT, realCapture, realCaptures } from '../shared.ts';

const read = (path: string) => {
  const { bytes, file, companions } = realCapture(path);
  return readCapture(bytes, file, companions);
};

/** What each file's origin note states: traces, points, first and last frequency, unit, and settings where stated. */
const TRUTHS: readonly [string, number, number, number, number, string, Record<string, unknown>][] = [
  ['fft-known-tone/tone3k.txt', 1, 1601, 0, 12_800, 'V', {}],
  ['fft-linear-converter/case1.csv', 2, 21_703, 0, 108_509.44226146676, 'V', {}],
  ['fft-linear-converter/case2.csv', 2, 21_703, 0, 108_509.44226146676, 'V', {}],
  ['psd-blocks-hline/noised1.dat', 10, 1024, 1.41940575e9, 1.4214038e9, 'unknown', {}],
  ['psd-blocks-hline/measd1az315el70a.dat', 1, 1024, 1.41940575e9, 1.4214038e9, 'unknown', {}],
  ['psd-blocks-hline/measd1az046el71.dat', 7, 1024, 1.41940575e9, 1.4214038e9, 'unknown', {}],
  [
    'sa-multitrace-sentinel/one_trace_30_300MHz_dbuv.csv',
    1,
    1001,
    30e6,
    300e6,
    'dBµV',
    { rbwHz: 10e3, rbwShape: '3 dB', averaging: 'max-hold', detector: 'positive-peak' },
  ],
  [
    'sa-multitrace-sentinel/six_traces_30_300MHz_dbuv.csv',
    4,
    1001,
    30e6,
    300e6,
    'dBµV',
    { rbwHz: 120e3, rbwShape: '6 dB', averaging: 'max-hold' },
  ],
  ['sa-multitrace-sentinel/three_traces_500_1000MHz.csv', 1, 401, 500e6, 1000e6, 'unknown', { rbwHz: 100e3 }],
  ['sa-nul-bytes/0_3GHz_dbm.csv', 1, 461, 0, 3e9, 'dBm', { rbwHz: 1e6 }],
  ['sa-nul-bytes/ambient_0p1_30MHz_dbm.csv', 1, 461, 0.1e6, 30e6, 'dBm', { rbwHz: 10e3 }],
  ['sa-nul-bytes/quiet_0p1_30MHz_dbm.csv', 1, 461, 0.1e6, 30e6, 'dBm', { rbwHz: 10e3 }],
  ['sa-nul-bytes/chamber_30_300MHz_dbuv.csv', 1, 461, 30e6, 300e6, 'dBµV', { rbwHz: 100e3 }],
  [
    'sa-site-survey/band1_h.csv',
    1,
    461,
    325e6,
    329e6,
    'dBm',
    { rbwHz: 300, averaging: 'max-hold', detector: 'positive-peak' },
  ],
  ['sa-site-survey/band2_v.csv', 1, 461, 327.275e6, 327.525e6, 'dBm', { rbwHz: 30 }],
  ['sa-site-survey/fullband_h.csv', 1, 461, 1e6, 1e9, 'dBm', { rbwHz: 1000 }],
];

describe.skipIf(realCaptures === null)(`real captures (${realCaptures === null ? ABSENT : 'present'})`, () => {
  test.each(TRUTHS)(
    '%s reads with the axis and unit its origin note states',
    (path, traces, points, first, last, unit, settings) => {
      const capture = read(path);
      const trace = capture.traces[0]!;
      expect(capture.traces).toHaveLength(traces);
      expect(trace.frequencyHz).toHaveLength(points);
      expect(trace.frequencyHz[0]).toBe(first);
      expect(trace.frequencyHz[points - 1]).toBe(last);
      expect(trace.unit.name).toBe(unit);
      expect(trace.settings).toMatchObject(settings);
    },
  );

  test('the stated tone of 10 mV at 3 kHz is the largest level: 10.099 mV', () => {
    const [trace] = read('fft-known-tone/tone3k.txt').traces;
    const peak = trace!.level.indexOf(Math.max(...trace!.level));
    expect(trace!.frequencyHz[peak]).toBe(3000);
    expect(trace!.level[peak]).toBeCloseTo(0.010099, 6);
  });

  test('site survey: the CSV and the TXT of one name give identical arrays', () => {
    for (const name of readdirSync(join(realCaptures!, 'sa-site-survey')).filter((file) => file.endsWith('.csv'))) {
      const csv = read(`sa-site-survey/${name}`).traces[0]!;
      const txt = read(`sa-site-survey/${name.replace('.csv', '.txt')}`).traces[0]!;
      expect(txt.frequencyHz).toEqual(csv.frequencyHz);
      expect(txt.level).toEqual(csv.level);
    }
  });

  test('says that numbers called dB/Hz are linear, and that two of six traces are blank', () => {
    expect(read('psd-blocks-hline/noised1.dat').warnings.join()).toMatch(/dB\/Hz.*linear power/);
    expect(read('sa-multitrace-sentinel/six_traces_30_300MHz_dbuv.csv').warnings.join()).toMatch(
      /2 of 6 traces are blank/,
    );
  });

  test('the file of frequencies is no capture, although it stands beside itself', () => {
    const { bytes, companions } = realCapture('fft-known-tone/tone3k.txt');
    const axis = companions.get('tone3k.x')!;
    companions.set('tone3k.txt', bytes);
    expect(() => readCapture(axis, 'tone3k.x', companions)).toThrow(InputError);
  });

  test('a marker that agrees with its trace within a point is no contradiction', () => {
    expect(read('sa-nul-bytes/chamber_30_300MHz_dbuv.csv').warnings.join()).not.toMatch(/Marker/);
  });

  test('the time a capture was taken is kept as written, also from a line that is nothing else', () => {
    expect(read('sa-site-survey/band1_h.csv').traces[0]!.settings.takenAt).toBe('05:22:20 04.01.2019');
    expect(read('psd-blocks-hline/noised1.dat').traces[1]!.settings.takenAt).toMatch(/^2019-04-21 10:49:03/);
  });

  test('the default unit that is not the trace unit is not believed', () => {
    expect(read('sa-nul-bytes/quiet_0p1_30MHz_dbm.csv').traces[0]!.unit.name).toBe('dBm');
  });

  /** File, samples, rate, channels with their units, as the origin notes state or as scipy and a text editor find them. */
  test.each([
    ['scope-csv-layouts/sequence_4ch.csv', 1200, 2e9, ['CH1 V', 'CH2 V', 'CH3 V', 'CH4 V']],
    ['scope-csv-layouts/sequence_1ch_ramp.csv', 14_000, 2e6, ['CH2 V']],
    ['scope-csv-layouts/second_volt_2ch_square.csv', 8192, 250e3, ['CH2 V', 'CH4 V']],
    ['scope-csv-layouts/quoted_header_2ch.csv', 8192, 500e6, ['Voltage V', 'Voltage V']],
    ['scope-csv-layouts/meta_in_left_columns.csv', 2500, 1e9, ['CH1 V']],
    ['scope-unit-row-decimal-comma/unit_row_ms_v.csv', 7817, 781_250, ['Channel A V']],
    ['scope-unit-row-decimal-comma/unit_row_header_says_frequency.csv', 7817, 390_625, ['Channel A V', 'Channel B V']],
    ['scope-unit-row-decimal-comma/unit_row_tabs_short.txt', 50, 381.47, ['Kanal A V', 'Kanal B V']],
    ['scope-unit-row-decimal-comma/quoted_header_ms_au.csv', 480, 47_900, ['Recording a.u.']],
    [
      'scope-unit-row-decimal-comma/logger_decimal_comma_tabs.txt',
      6609,
      9.99944,
      ['Weg s_A1 m', 'winkel w rad', 'Spannung U_B1 V', 'U_k U_k V'],
    ],
    ['audio-wav-packets/mono_48k_packets.wav', 163_430, 48_000, ['channel 1 FS']],
    ['iq-wav-longwave/station_a_77p5kHz_iq.wav', 687 * 512, 12_001, ['I/Q FS']],
    ['iq-wav-longwave/station_b_77p5kHz_iq.wav', 691 * 512, 12_001, ['I/Q FS']],
    ['iq-wav-longwave/station_c_77p5kHz_iq.wav', 696 * 512, 12_001, ['I/Q FS']],
  ] as const)('%s is a recording of %d samples at %d a second', (path, samples, rateHz, channels) => {
    const [recording] = read(path).recordings!;
    expect(recording!.sampleCount).toBe(samples);
    expect(Math.abs(recording!.sampleRateHz / rateHz - 1)).toBeLessThan(1e-6);
    expect(recording!.channels.map(({ name, unit }) => `${name} ${unit}`)).toEqual(channels);
  });

  test('second_volt_2ch_square swings at 1000.0 Hz over its 33 edges', () => {
    const [recording] = read('scope-csv-layouts/second_volt_2ch_square.csv').recordings!;
    const { real } = readSamples(recording!, null, 0, 0, 8192);
    const middle = (Math.min(...real) + Math.max(...real)) / 2;
    const rising: number[] = [];
    for (let i = 1; i < real.length; i++) if (real[i - 1]! < middle && real[i]! >= middle) rising.push(i);
    const periods = rising.length - 1;
    expect(periods).toBeGreaterThan(30);
    expect((periods * recording!.sampleRateHz) / (rising.at(-1)! - rising[0]!)).toBeCloseTo(1000, 0);
  });

  test('a title that says frequency over milliseconds is not believed, and uneven steps are told of', () => {
    const lies = read('scope-unit-row-decimal-comma/unit_row_header_says_frequency.csv');
    expect(lies.warnings.join()).toMatch(/called “Frequency”, but its unit is one of time/);
    const logger = read('scope-unit-row-decimal-comma/logger_decimal_comma_tabs.txt');
    expect(logger.warnings.join()).toMatch(/not evenly sampled/);
  });

  test('the longwave carrier stands at 0 Hz: the mean of the samples over their rms is large', () => {
    const { bytes, file } = realCapture('iq-wav-longwave/station_a_77p5kHz_iq.wav');
    const [recording] = readCapture(bytes, file).recordings!;
    const n = 65_536;
    const { real, imaginary } = readSamples(recording!, bytesInMemory(bytes), 0, 4096, n);
    const at = (hz: number): number => {
      let re = 0;
      let im = 0;
      for (let i = 0; i < n; i++) {
        const w = (-2 * Math.PI * hz * i) / recording!.sampleRateHz;
        re += real[i]! * Math.cos(w) - imaginary![i]! * Math.sin(w);
        im += real[i]! * Math.sin(w) + imaginary![i]! * Math.cos(w);
      }
      return re * re + im * im;
    };
    // the origin note: 37 to 38 dB over what lies 30 to 100 Hz away
    const aside = [31.3, 47.7, 62.1, 77.9, 93.3].map(at).reduce((a, b) => a + b) / 5;
    expect(10 * Math.log10(at(0) / aside)).toBeGreaterThan(30);
  });

  test('the solar spectrogram: 192 frequencies from the table, upwards, and 3600 rows a quarter second apart', () => {
    const capture = read('spectrogram-fits-solar/solar_20_100MHz_15min.fit');
    const [mean, last] = capture.traces;
    expect(mean!.frequencyHz).toHaveLength(192);
    expect(mean!.frequencyHz[0]).toBe(20e6);
    expect(mean!.frequencyHz.at(-1)).toBeCloseTo(91.813e6, -4);
    expect(last!.label).toBe('last row');
    const [waterfall] = capture.waterfalls!;
    expect(waterfall!.rows).toBe(3600);
    expect(waterfall!.rowStartS![4]).toBe(1);
    expect(mean!.unit.name).toBe('unknown');
    expect(capture.warnings.join()).toMatch(/“digits” is no level unit/);
    expect(capture.warnings.join()).toMatch(/8 of 200 points state a frequency that a neighbour has/);
  });
});
