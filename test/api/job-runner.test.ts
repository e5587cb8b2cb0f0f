import { afterEach, expect, test } from 'vitest';
import { JobCancelled, JobRunner } from '../../src-main/api/jobs/job-runner.ts';
import { InputError } from '../../src-main/model/input-problem.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../../src-main/model/triage-settings.ts';
import { UNKNOWN_SETTINGS } from '../../src-main/model/capture.ts';

const WORKER = new URL('../../src-main/worker.ts', import.meta.url);
const opened: JobRunner[] = [];

function runner(size = 2): JobRunner {
  const made = new JobRunner(WORKER, size);
  opened.push(made);
  return made;
}

afterEach(async () => {
  await Promise.all(opened.splice(0).map((each) => each.close()));
});

const csv = new TextEncoder().encode(
  'Frequency (Hz),Level (dBm)\n' + Array.from({ length: 50 }, (_, i) => `${1e6 + i * 100},${-90 - (i % 3)}`).join('\n'),
);

function longTriage() {
  const n = 400_000;
  return {
    trace: {
      label: '',
      frequencyHz: Float64Array.from({ length: n }, (_, i) => 1e6 + i * 100),
      level: Float64Array.from({ length: n }, (_, i) => -90 + 2 * Math.sin(i * i)),
      unit: { name: 'dBm', scale: 'decibel' as const, perHz: false },
      settings: UNKNOWN_SETTINGS,
    },
    sources: [],
    condition: null,
    settings: DEFAULT_TRIAGE_SETTINGS,
  };
}

test('a capture is read in a worker and its columns come back as typed arrays', async () => {
  const capture = await runner().run('read', { file: 'a.csv', bytes: csv }, { jobId: 'a' });
  expect(capture).toMatchObject({ file: 'a.csv', traces: [{ unit: { name: 'dBm' } }] });
  expect(capture.sha256).toMatch(/^[0-9a-f]{64}$/);
  expect(capture.traces[0]!.frequencyHz).toBeInstanceOf(Float64Array);
  expect(csv.length, 'the bytes given are still there').toBeGreaterThan(0);
});

test('what a reader refuses arrives as the same InputError', async () => {
  const refused = runner().run('read', { file: 'b.csv', bytes: new Uint8Array() }, { jobId: 'a' });
  await expect(refused).rejects.toBeInstanceOf(InputError);
  await expect(refused).rejects.toMatchObject({ problem: { file: 'b.csv' } });
});

test('a triage tells its progress in ascending fractions', async () => {
  const fractions: number[] = [];
  await runner().run('triage', longTriage(), { jobId: 'a', onProgress: (fraction) => fractions.push(fraction) });
  expect(fractions[0]).toBe(0);
  expect(fractions.at(-1)).toBe(1);
  expect(fractions).toEqual([...fractions].sort((a, b) => a - b));
});

test('a cancelled job is rejected at once and the next job runs', async () => {
  const one = runner(1);
  const running = one.run('triage', longTriage(), { jobId: 'long' });
  const waiting = one.run('triage', longTriage(), { jobId: 'long' });
  const next = one.run('read', { file: 'a.csv', bytes: csv }, { jobId: 'next' });
  one.cancel('long');
  await expect(running).rejects.toBeInstanceOf(JobCancelled);
  await expect(waiting).rejects.toBeInstanceOf(JobCancelled);
  expect((await next).file).toBe('a.csv');
});

test('cancelling a job that is not there changes nothing', async () => {
  const one = runner(1);
  const running = one.run('read', { file: 'a.csv', bytes: csv }, { jobId: 'a' });
  one.cancel('b');
  expect((await running).file).toBe('a.csv');
});

test('closing cancels what runs', async () => {
  const one = runner(1);
  const running = one.run('triage', longTriage(), { jobId: 'a' });
  const closed = one.close();
  await expect(running).rejects.toBeInstanceOf(JobCancelled);
  await closed;
});
