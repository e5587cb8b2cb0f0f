import { mkdtempSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { PartBoard } from '../../../src-main/api/jobs/part-board.ts';
import { sumTogether } from '../../../src-main/api/jobs/sum-together.ts';
import { openFileSource } from '../../../src-main/api/steps/file-source.ts';
import { isTooShort, planSegments } from '../../../src-main/engine/spectrum/plan-segments.ts';
import { partsOf, type PartsWork } from '../../../src-main/engine/spectrum/sum-parts.ts';
import { bytesInMemory } from '../../../src-main/model/byte-source.ts';
import { InputError } from '../../../src-main/model/input-problem.ts';
import type { Recording } from '../../../src-main/model/recording.ts';
import { seeded } from '../../engine/attribution/scene.ts';

const SAMPLES = 2_500_000;
/** However short: here the second thread is what is tested. */
const TWO = { threads: 2, worthSharing: 0 };
const folder = mkdtempSync(join(tmpdir(), 'spurledger-sums-'));
const path = join(folder, 'iq.raw');
const stored = new Int16Array(2 * SAMPLES);

beforeAll(() => {
  const { uniform } = seeded(21);
  for (let i = 0; i < stored.length; i++) stored[i] = Math.round(2000 * (uniform() - 0.5) + 900 * Math.sin(0.7 * i));
  writeFileSync(path, stored);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Holds the first thread up until the helper, which takes its time to start, has a part of its own. */
function waitForClaim({ shared }: PartBoard): void {
  const nothing = new Int32Array(new SharedArrayBuffer(4));
  for (let waited = 0; Atomics.load(new Int32Array(shared), 0) < 2 && waited < 60_000; waited += 20)
    Atomics.wait(nothing, 0, 0, 20);
}

function workOf(complex: boolean): PartsWork {
  const sampleCount = complex ? SAMPLES : 2 * SAMPLES;
  const recording: Recording = {
    label: '',
    complex,
    channels: [{ name: '', unit: 'FS', scale: 1 / 32768, offset: 0, fullScale: 1 }],
    samples: {
      kind: 'stored',
      dataFile: null,
      type: 'i16',
      bigEndian: false,
      stretches: [{ offsetBytes: 0, sampleCount }],
    },
    sampleCount,
    sampleRateHz: 1,
    centreHz: null,
    unevenness: null,
    takenAt: null,
    annotations: [],
    stated: [],
  };
  const plan = planSegments(sampleCount, 1, { window: 'hann', rbwHz: 1.5 / 4096, overlap: 0.5 });
  if (isTooShort(plan)) throw new Error(plan.found);
  return {
    recording,
    channel: 0,
    window: 'hann',
    plan,
    parts: partsOf([{ from: 0, count: sampleCount }], plan),
    file: 'iq.raw',
  };
}

test.each([true, false])(
  'two threads give the sums of one to the last bit, and tell of every sample (I/Q: %s)',
  (complex) => {
    const taken = vi.spyOn(PartBoard.prototype, 'takeDone');
    const boards = vi.spyOn(PartBoard, 'create');
    const work = workOf(complex);
    const bytes = openFileSource(path);
    let [alone, together] = [0, 0];
    const one = sumTogether(work, bytes, (samples) => (alone += samples), { threads: 1 });
    const two = sumTogether(
      work,
      bytes,
      (samples) => {
        together += samples;
        waitForClaim(boards.mock.results.at(-1)!.value as PartBoard);
      },
      TWO,
    );
    expect(two).toEqual(one);
    expect(taken.mock.results.filter(({ value }) => value !== null).length).toBeGreaterThan(0);
    // the helper's last words may come after the last part
    expect(together).toBeGreaterThan(0.5 * alone);
    expect(together).toBeLessThanOrEqual(alone);
    const memory = new Uint8Array(new SharedArrayBuffer(stored.byteLength));
    memory.set(new Uint8Array(stored.buffer));
    const shared = bytesInMemory(memory);
    expect(shared.elsewhere).toBeDefined();
    expect(sumTogether(work, shared, () => {}, TWO)).toEqual(one);
    bytes.close();
  },
);

test('what only one thread can read is summed by it', () => {
  const work = workOf(true);
  const bytes = bytesInMemory(new Uint8Array(stored.buffer));
  expect(bytes.elsewhere).toBeUndefined();
  expect(sumTogether(work, bytes, () => {}, TWO).sums.segments).toBe(work.plan.segments);
});

test('a file that is another one by the time the helper opens it is read by the first thread alone', () => {
  const work = workOf(true);
  const other = join(folder, 'other.raw');
  writeFileSync(other, 'not this one');
  const bytes = openFileSource(path);
  const one = sumTogether(work, bytes, () => {}, { threads: 1 });
  expect(sumTogether(work, { ...bytes, elsewhere: other }, () => {}, TWO)).toEqual(one);
  expect(sumTogether(work, { ...bytes, elsewhere: join(folder, 'gone.raw') }, () => {}, TWO)).toEqual(one);
  bytes.close();
});

test('a file that becomes shorter while it is read is refused with the reason, whoever notices', () => {
  const cut = join(folder, 'cut.raw');
  writeFileSync(cut, stored);
  const bytes = openFileSource(cut);
  truncateSync(cut, stored.byteLength / 2);
  expect(() => sumTogether(workOf(true), bytes, () => {}, TWO)).toThrow(InputError);
  bytes.close();
});

test('the board gives each part once, keeps what was put down until it is taken, and says what was given back', () => {
  const first = PartBoard.create(3, 4, true);
  const second = PartBoard.at(first.shared, 3, 4, true);
  expect([first.claim(), second.claim(), second.claim(), first.claim()]).toEqual([0, 1, 2, null]);
  const sums = {
    segments: 5,
    power: Float64Array.of(1, 2, 3, 4),
    mirrorRe: Float64Array.of(5, 6, 7),
    mirrorIm: Float64Array.of(8, 9, 10),
    brokenSegments: 1,
  };
  expect(first.takeDone(1)).toBeNull();
  second.put(1, { sums, clipped: 11 });
  second.giveBack(2);
  second.tookSamples(100);
  expect(first.takeDone(1)).toEqual({ sums, clipped: 11 });
  expect(first.takeDone(1)).toBeNull();
  expect(first.isGivenBack(2)).toBe(true);
  expect([first.samplesOfHelper(), first.samplesOfHelper()]).toEqual([100, 0]);
  expect(first.waitForHelper(0, 10)).toBe(false);
});
