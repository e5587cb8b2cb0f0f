import { describe, expect, test } from 'vitest';
import { InputError } from '../../../src-main/model/input-problem.ts';
import { readSamples } from '../../../src-main/model/read-samples.ts';
import { readCapture } from '../../../src-main/readers/read-capture.ts';
import { INVENTED, REFUSED, TIME_RECORDS } from './invented.ts';

const bytesOf = (text: string | Uint8Array): Uint8Array =>
  typeof text === 'string' ? new TextEncoder().encode(text) : text;

describe('readCapture(bytes, file) reads', () => {
  test.each(INVENTED.map((file) => [file.name, file] as const))('%s', (_, file) => {
    const capture = readCapture(bytesOf(file.text), 'bench.csv');
    const trace = capture.traces[0]!;
    const n = trace.level.length;
    const said = capture.warnings.join('\n');
    expect(capture.traces).toHaveLength(file.traces ?? 1);
    if (file.points !== undefined) expect(n).toBe(file.points);
    if (file.startHz !== undefined) expect(trace.frequencyHz[0]).toBe(file.startHz);
    if (file.stopHz !== undefined) expect(trace.frequencyHz[n - 1]).toBe(file.stopHz);
    if (file.firstLevel !== undefined) expect(trace.level[0]).toBe(file.firstLevel);
    if (file.lastLevel !== undefined) expect(trace.level[n - 1]).toBe(file.lastLevel);
    if (file.unit !== undefined) expect(trace.unit.name).toBe(file.unit);
    if (file.scale !== undefined) expect(trace.unit.scale).toBe(file.scale);
    if (file.settings !== undefined) expect(trace.settings).toMatchObject(file.settings);
    if (file.labels !== undefined) expect(capture.traces.map(({ label }) => label)).toEqual(file.labels);
    for (const pattern of file.warns ?? []) expect(said).toMatch(pattern);
    for (const pattern of file.silent ?? []) expect(said).not.toMatch(pattern);
  });

  test('the second of two paired traces over its own frequencies', () => {
    const paired = INVENTED.find(({ name }) => name.startsWith('every level over its own'))!;
    expect(readCapture(bytesOf(paired.text), 'x').traces[1]!.frequencyHz[0]).toBe(155_000);
  });

  test('settings of the second of two sweeps from the lines above it', () => {
    const two = INVENTED.find(({ name }) => name.startsWith('two sweeps, each with'))!;
    expect(readCapture(bytesOf(two.text), 'x').traces[1]!.settings).toMatchObject({ rbwHz: 3000, detector: 'rms' });
  });
});

describe('readCapture(bytes, file) refuses', () => {
  test.each(REFUSED.map((file) => [file.name, file] as const))('%s', (_, { text, place, found }) => {
    let problem: InputError['problem'] | null = null;
    try {
      readCapture(bytesOf(text), 'bench.csv');
    } catch (error) {
      if (error instanceof InputError) problem = error.problem;
      else throw error;
    }
    expect(problem?.found).toMatch(found);
    if (place !== undefined) expect(problem?.place).toMatch(place);
    expect(problem?.file).toBe('bench.csv');
    expect(problem?.wayOut).not.toBe('');
  });
});

describe('readCapture(bytes, file) makes a recording of', () => {
  test.each(TIME_RECORDS.map((file) => [file.name, file] as const))('%s', (_, { text, rateHz, samples, channels }) => {
    const capture = readCapture(bytesOf(text), 'scope.csv');
    expect(capture.traces).toEqual([]);
    const [recording] = capture.recordings!;
    expect(recording!.sampleRateHz).toBeCloseTo(rateHz, 6);
    expect(recording!.sampleCount).toBe(samples);
    expect(recording!.channels.map(({ name, unit }) => `${name} ${unit}`)).toEqual(channels);
  });

  test('millivolts are volts through the scale of the channel', () => {
    const mv = TIME_RECORDS.find(({ channels }) => channels[0] === 'Voltage V')!;
    const [recording] = readCapture(bytesOf(mv.text), 'scope.csv').recordings!;
    expect(readSamples(recording!, null, 0, 0, 3).real[1]).toBeCloseTo(0.1e-3, 12);
  });

  test('times that are not even, and says by how much', () => {
    const text =
      'Time (s),A (V)\n' + Array.from({ length: 30 }, (_, i) => `${(i + (i % 2) * 0.2).toFixed(6)},1`).join('\n');
    const capture = readCapture(bytesOf(text), 'scope.csv');
    expect(capture.warnings.join()).toMatch(/not evenly sampled/);
    expect(capture.recordings![0]!.unevenness).toBeGreaterThan(0.19);
  });

  test('rounded times without a word: the mean step is what counts', () => {
    const text = 'Time (s),A (V)\n' + Array.from({ length: 300 }, (_, i) => `${(i / 3).toFixed(1)},1`).join('\n');
    const capture = readCapture(bytesOf(text), 'scope.csv');
    expect(capture.warnings.join()).not.toMatch(/not evenly/);
    expect(capture.recordings![0]!.sampleRateHz).toBeCloseTo(3, 2);
  });

  test('samples with a gap in them, and says what stands there', () => {
    const text = 'Time (s),A (V)\n0,1\n1,2\n2,nan\n3,4\n4,5\n5,6\n6,7\n';
    const capture = readCapture(bytesOf(text), 'scope.csv');
    expect(capture.warnings.join()).toMatch(/1 sample\(s\) have no value/);
    expect([...readSamples(capture.recordings![0]!, null, 0, 1, 3).real]).toEqual([2, 2, 4]);
  });

  test('no spectrum whose preamble states the rate of the samples it was made of', () => {
    const text =
      'Sample Rate,2400000\n' + Array.from({ length: 48 }, (_, i) => `${100e6 + i * 50e3},${-90 - (i % 3)}`).join('\n');
    const { traces, recordings } = readCapture(bytesOf(text), 'receiver.csv');
    expect(recordings).toBeUndefined();
    expect(traces[0]!.frequencyHz[1]).toBe(100_050_000);
  });
});
