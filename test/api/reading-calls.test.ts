import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test, vi } from 'vitest';
import { ascii, npy, numbers } from '../readers/build.ts';
import { startApi } from './running-api.ts';

/** A file whose columns the reader cannot name: level first, then a frequency in MHz without a word. */
const odd = (seed = 0) =>
  ascii(
    `taken 2026-03-0${1 + seed}\n${Array.from({ length: 40 }, (_, i) => `${(-90 - ((i * 7 + seed) % 5)).toFixed(1)},${(1 + i / 10).toFixed(1)}`).join('\n')}\n`,
  );
const CORRECTED = { frequencyColumn: 2, levelColumns: [1], frequencyFactor: 1e6, unit: 'dBm' };

test('a preview shows the first lines, the guess and what comes of it, and of corrections', async () => {
  const { api } = startApi();
  const guess = await api.readingPreview({ file: 'odd.csv', bytes: odd(), hints: {}, jobId: 'p' });
  expect(guess.lines[0]).toEqual({ line: 1, text: 'taken 2026-03-01', isRow: false });
  expect(guess.lines[1]).toMatchObject({ line: 2, isRow: true });
  expect(guess).toMatchObject({ separator: ',', decimalMark: '.', firstRow: 2, remembered: null });
  expect(guess.columns).toHaveLength(2);
  const corrected = await api.readingPreview({ file: 'odd.csv', bytes: odd(), hints: CORRECTED, jobId: 'p' });
  expect(corrected.columns.map(({ role }) => role)).toEqual(['level', 'frequency']);
  expect(corrected.traces).toMatchObject([{ points: 40, startHz: 1e6, stopHz: 4.9e6, unit: 'dBm', highest: -90 }]);
  expect(await api.captureList({})).toEqual([]);
});

test('what is wrong with a file is in the preview: the call does not fail', async () => {
  const { api } = startApi();
  const preview = await api.readingPreview({
    file: 'a.npy',
    bytes: npy("{'descr': '<f8', 'fortran_order': False, 'shape': (4,), }\n", numbers('f64', [1, 2, 3, 4])),
    hints: {},
    jobId: 'p',
  });
  expect(preview).toMatchObject({ layout: null, traces: [], format: 'a NumPy array' });
  expect(preview.problem!.found).toMatch(/without an axis/);
});

test('corrections remembered for a layout hold for other files of it, also of another day; and not for others', async () => {
  const { api } = startApi();
  const { layoutKey } = await api.readingPreview({ file: 'odd.csv', bytes: odd(), hints: {}, jobId: 'p' });
  await api.readingRemember({ layoutKey, hints: CORRECTED });
  const { capture } = await api.captureAdd({ file: 'later.csv', bytes: odd(3), jobId: 'a' });
  expect(capture.traces[0]).toMatchObject({ startHz: 1e6, unit: { name: 'dBm' } });
  expect(capture.warnings[0]).toMatch(/corrections that you made for an earlier file/);
  const other = ascii(
    'Frequency (Hz),Level (dBm)\n' + Array.from({ length: 30 }, (_, i) => `${1000 + i},-80`).join('\n'),
  );
  expect((await api.captureAdd({ file: 'other.csv', bytes: other, jobId: 'b' })).capture.traces[0]!.startHz).toBe(1000);
  expect((await api.readingPreview({ file: 'x.csv', bytes: odd(2), hints: {}, jobId: 'p' })).remembered).toEqual(
    CORRECTED,
  );
  await api.readingRemember({ layoutKey, hints: null });
  expect((await api.readingPreview({ file: 'x.csv', bytes: odd(2), hints: {}, jobId: 'p' })).remembered).toBeNull();
});

test('a capture read anew takes the place of the first reading, with its state and condition, as one step', async () => {
  const { api } = startApi();
  const state = await api.statePut({
    id: null,
    name: 'as built',
    description: '',
    parentId: null,
    at: '2026-03-01',
    configuration: [],
  });
  const first = await api.captureAdd({ file: 'odd.csv', bytes: odd(), jobId: 'a' });
  await api.captureAssign({ captureIds: [first.capture.id], stateId: state.id, condition: { mode: 'idle' } });
  const again = await api.captureAdd({ file: 'odd.csv', bytes: odd(), jobId: 'b', hints: CORRECTED });
  expect(again.alreadyKnown).toBe(false);
  const [only, ...others] = await api.captureList({});
  expect(others).toEqual([]);
  expect(only).toMatchObject({ stateId: state.id, condition: { mode: 'idle' }, traces: [{ unit: { name: 'dBm' } }] });
  await api.undo({});
  expect((await api.captureList({}))[0]!.traces[0]!.unit.name).not.toBe('dBm');
});

test('samples whose rate only the user knows: the capture, and another spectrum of it', async () => {
  const { api } = startApi();
  const samples = Array.from({ length: 20_000 }, (_, i) => Math.sin(0.3 * i) + Math.sin(12.9898 * i * i) / 50);
  const bytes = npy("{'descr': '<f4', 'fortran_order': False, 'shape': (20000,), }\n", numbers('f32', samples));
  const { capture } = await api.captureAdd({
    file: 'a.npy',
    bytes,
    jobId: 'a',
    hints: { sampleRateHz: 1e6, unit: 'V' },
  });
  expect(capture.traces[0]!.stopHz).toBeGreaterThan(0.45e6);
  expect(await api.recordingList({ captureId: capture.id })).toMatchObject([
    { sampleRateHz: 1e6, sampleCount: 20_000 },
  ]);
});

test('an axis in a file beside it comes along', async () => {
  const { api } = startApi();
  const levels = ascii(Array.from({ length: 30 }, (_, i) => `${-80 - (i % 3)}.5`).join('\n'));
  const axis = ascii(Array.from({ length: 30 }, (_, i) => `${1000 + 10 * i}`).join('\n'));
  const { capture } = await api.captureAdd({
    file: 'tone.txt',
    bytes: levels,
    jobId: 'a',
    companions: [{ file: 'tone.x', bytes: axis }],
  });
  expect(capture.traces[0]).toMatchObject({ startHz: 1000, stopHz: 1290 });
});

test('a network parameter file is refused as a capture with the place where it belongs', async () => {
  const { api } = startApi();
  const bytes = ascii('# MHz S DB R 50\n1 -30 0 -20 0 -20 0 -30 0\n2 -30 0 -21 0 -21 0 -30 0\n');
  await expect(api.captureAdd({ file: 'pad.s2p', bytes, jobId: 'a' })).rejects.toThrow(/calibration tables/);
});

test('a watched folder reads what arrives with the corrections remembered for its layout', async () => {
  const started = startApi(undefined, 15);
  const { api, folder } = started;
  const inbox = join(folder, 'inbox');
  mkdirSync(inbox);
  const { layoutKey } = await api.readingPreview({ file: 'odd.csv', bytes: odd(), hints: {}, jobId: 'p' });
  await api.readingRemember({ layoutKey, hints: CORRECTED });
  writeFileSync(join(inbox, 'arrived.csv'), odd(4));
  await api.watchPut({
    id: null,
    path: inbox,
    stateId: null,
    pointId: null,
    condition: {},
    compareWith: [],
    isOn: true,
  });
  await vi.waitFor(
    async () => {
      const [capture] = await api.captureList({});
      expect(capture).toMatchObject({ file: 'arrived.csv', traces: [{ unit: { name: 'dBm' } }] });
      expect(capture!.warnings[0]).toMatch(/corrections that you made/);
    },
    { timeout: 20_000, interval: 20 },
  );
});
