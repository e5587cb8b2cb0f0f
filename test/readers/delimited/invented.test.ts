import { describe, expect, test } from 'vitest';
import { InputError } from '../../../src-main/model/input-problem.ts';
import { readCapture } from '../../../src-main/readers/read-capture.ts';
import { INVENTED, REFUSED } from './invented.ts';

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
