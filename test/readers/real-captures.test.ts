import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
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

  test.each([
    'scope-csv-layouts',
    'scope-unit-row-decimal-comma',
    'iq-wav-longwave',
    'spectrogram-fits-solar',
    'audio-wav-packets',
  ])('every file of %s is refused with five parts: none is a delimited spectrum', (folder) => {
    for (const name of readdirSync(join(realCaptures!, folder)).filter((file) => file !== 'SOURCE.md')) {
      let problem: InputError['problem'] | null = null;
      try {
        readCapture(readFileSync(join(realCaptures!, folder, name)), name);
      } catch (error) {
        if (error instanceof InputError) problem = error.problem;
      }
      expect(problem, name).not.toBeNull();
      for (const part of Object.values(problem ?? {})) expect(part).not.toBe('');
    }
  });
});
