import { existsSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { apiProblemOf } from '../../src-main/api/api-problem.ts';
import type { SourceEntry } from '../../src-main/api/contract.ts';
import type { RunningApi } from '../../src-main/api/create-api.ts';
import { SOURCE } from '../report/sample-triage.ts';
import { comb, smallCapture } from './small-capture.ts';
import { freshFolder, startApi } from './running-api.ts';

const none = {};
const at = '2026-03-01T10:00:00Z';
const FUNDAMENTAL_HZ = 303_000;

async function problemOf(promise: Promise<unknown>) {
  try {
    await promise;
  } catch (error) {
    return apiProblemOf(error);
  }
  throw new Error('the call was not refused');
}

function add(api: RunningApi, file: string, bytes: Uint8Array) {
  return api.captureAdd({ file, bytes, jobId: `add ${file}` });
}

async function state(api: RunningApi, name: string, parentId: number | null) {
  return api.statePut({ id: null, name, description: '', parentId, at, configuration: [] });
}

test('on first start a scratch register is open and empty', async () => {
  const { api, folder } = startApi();
  expect(await api.about(none)).toEqual({
    version: '0.0.0-test',
    host: 'direct',
    platform: process.platform,
    documentsFolder: folder,
  });
  expect(await api.registerInfo(none)).toMatchObject({
    isScratch: true,
    isInvented: false,
    readOnly: false,
    captures: 0,
    sources: 0,
    states: 0,
    canUndo: false,
    canRedo: false,
    undoSummary: null,
  });
  expect(await api.registerRecent(none)).toEqual([]);
});

test('a capture goes in, is triaged, named and drawn, and all of it is there after a restart', async () => {
  const { api, folder, events } = startApi();
  await api.sourcePut({ source: SOURCE, replaces: null });
  const { capture, alreadyKnown } = await add(api, 'a.csv', smallCapture({ lines: comb(FUNDAMENTAL_HZ, 25) }));
  expect(alreadyKnown).toBe(false);
  expect(capture).toMatchObject({ file: 'a.csv', traceIndex: 0, spurs: null, condition: { role: 'item' } });
  expect(await api.triageGet({ captureId: capture.id })).toBeNull();

  const view = await api.triageRun({ captureId: capture.id, jobId: 't' });
  expect(view.combs).toMatchObject([{ source: 'DC-A' }]);
  expect(view.combs[0]!.fundamentalHz).toBeCloseTo(FUNDAMENTAL_HZ, -2);
  expect(view.explanations.filter(({ cause }) => cause === 'source').length).toBeGreaterThanOrEqual(9);
  const progress = events.filter(({ name }) => name === 'progress').map(({ event }) => event);
  expect(progress).toContainEqual({ jobId: 't', fraction: 1, step: 'done' });

  const columns = await api.traceColumns({ captureId: capture.id, traceIndex: 0, lowHz: 0, highHz: 1e9, columns: 500 });
  expect(columns.thinned).toBe(true);
  expect(columns.maximumDb.length).toBe(500);
  expect(columns.floorDb.length).toBe(500);
  expect(Math.max(...columns.maximumDb)).toBeGreaterThan(-68);
  await api.close();

  const again = startApi(folder).api;
  expect((await again.captureList(none))[0]).toMatchObject({ file: 'a.csv', spurs: view.spurs.length });
  expect(await again.triageGet({ captureId: capture.id })).toEqual(view);
});

test('the same bytes under another name add nothing', async () => {
  const { api } = startApi();
  const first = await add(api, 'a.csv', smallCapture());
  const second = await add(api, 'b.csv', smallCapture());
  expect(second).toEqual({ capture: first.capture, alreadyKnown: true });
  expect((await api.registerInfo(none)).captures).toBe(1);
});

test('a capture that cannot be read is an input problem with its five parts and adds nothing', async () => {
  const { api } = startApi();
  const problem = await problemOf(add(api, 'x.csv', new TextEncoder().encode('hello')));
  expect(problem.kind).toBe('input');
  expect(problem.problem).toMatchObject({ file: 'x.csv' });
  expect(await api.captureList(none)).toEqual([]);
});

test('a triage is stale once the sources, the condition or the trace change, and fresh again when they are put back', async () => {
  const { api } = startApi();
  const { capture } = await add(api, 'a.csv', smallCapture({ lines: comb(FUNDAMENTAL_HZ, 25) }));
  const captureId = capture.id;
  await api.triageRun({ captureId, jobId: 't' });
  expect(await api.triageGet({ captureId })).not.toBeNull();

  await api.sourcePut({ source: SOURCE, replaces: null });
  expect(await api.triageGet({ captureId })).toBeNull();
  await api.undo(none);
  expect(await api.triageGet({ captureId })).not.toBeNull();

  await api.captureAssign({ captureIds: [captureId], condition: { averages: 64 } });
  expect(await api.triageGet({ captureId })).toBeNull();
  const drawn = await api.traceColumns({ captureId, traceIndex: 0, lowHz: 0, highHz: 1e9, columns: 50 });
  expect(drawn.floorDb.length, 'a stale floor is not drawn').toBe(0);
});

test('a step is told in one sentence with the fix it was meant for, and an unchanged source is not called changed', async () => {
  const { api } = startApi();
  await api.sourceImport({
    file: 'sources.csv',
    text: 'designator,kind,nominal_hz,tolerance_ppm\nDC-A,converter,300000,30000\nDC-B,converter,440000,30000\n',
    replaceAll: false,
  });
  const other = comb(451_000, 25);
  const before = await add(
    api,
    'before.csv',
    smallCapture({ seed: 1, lines: [...comb(FUNDAMENTAL_HZ, 25), ...other] }),
  );
  const after = await add(api, 'after.csv', smallCapture({ seed: 2, lines: other }));
  const s0 = await state(api, 'S0', null);
  const s1 = await state(api, 'S1', s0.id);
  await api.captureAssign({ captureIds: [before.capture.id], stateId: s0.id });
  await api.captureAssign({ captureIds: [after.capture.id], stateId: s1.id });
  await api.fixPut({
    id: null,
    fromStateId: s0.id,
    toStateId: s1.id,
    change: 'bead',
    sources: ['DC-A'],
    by: 'x',
    at,
    undoneAt: null,
    notes: '',
  });

  const view = await api.compareRun({
    beforeCaptureIds: [before.capture.id],
    afterCaptureIds: [after.capture.id],
    jobId: 'c',
  });
  const statuses = (source: string) =>
    new Set(view.tracks.filter((track) => track.source === source).map(({ status }) => status));
  expect(statuses('DC-A')).toEqual(new Set(['cleared']));
  expect(statuses('DC-B')).toEqual(new Set(['persists']));
  expect(view.sentence).toMatch(/^All \w+ of DC-A’s spurs are cleared\.$/);
  expect(view.unit).toBe('dBm');
});

test('comparing a capture with itself, or one that is gone, is refused', async () => {
  const { api } = startApi();
  const { capture } = await add(api, 'a.csv', smallCapture());
  const same = api.compareRun({ beforeCaptureIds: [capture.id], afterCaptureIds: [capture.id], jobId: 'c' });
  expect(await problemOf(same)).toMatchObject({ kind: 'refused' });
  const gone = api.compareRun({ beforeCaptureIds: [capture.id], afterCaptureIds: [99], jobId: 'c' });
  expect(await problemOf(gone)).toMatchObject({ kind: 'refused' });
});

test('a cancelled triage says so, keeps nothing, and the next one runs', async () => {
  const { api } = startApi();
  const { capture } = await add(api, 'a.csv', smallCapture({ points: 60_000 }));
  const running = problemOf(api.triageRun({ captureId: capture.id, jobId: 'long' }));
  await api.cancel({ jobId: 'long' });
  expect(await running).toMatchObject({ kind: 'cancelled' });
  expect(await api.triageGet({ captureId: capture.id })).toBeNull();
  expect((await api.triageRun({ captureId: capture.id, jobId: 'next' })).captureId).toBe(capture.id);
});

test('registers are made, opened again, listed newest first, and never written over', async () => {
  const { api, folder } = startApi();
  const path = join(folder, 'one');
  const made = await api.registerNew({ path, title: 'One' });
  expect(made).toMatchObject({ path: `${path}.spurledger`, title: 'One', isScratch: false });
  await api.sourcePut({ source: SOURCE, replaces: null });
  await api.registerNew({ path: 'two.spurledger', title: 'Two' });
  expect(await api.sourceList(none)).toEqual([]);
  expect(await problemOf(api.registerNew({ path, title: 'Again' }))).toMatchObject({ kind: 'refused' });
  expect((await api.registerOpen({ path: made.path })).sources).toBe(1);
  expect((await api.registerRecent(none)).map(({ title, exists }) => [title, exists])).toEqual([
    ['One', true],
    ['Two', true],
  ]);
  await api.close();
  expect((await startApi(folder).api.registerInfo(none)).title).toBe('One');
});

test('a file that is no register is refused and the open one stays open', async () => {
  const { api, folder } = startApi();
  await api.registerNew({ path: 'one', title: 'One' });
  writeFileSync(join(folder, 'text.spurledger'), 'hello');
  for (const path of ['text.spurledger', 'nowhere.spurledger', '.']) {
    const problem = await problemOf(api.registerOpen({ path }));
    expect(problem.kind).not.toBe('internal');
    expect(problem.problem).not.toBeNull();
  }
  expect((await api.registerInfo(none)).title).toBe('One');
});

test('a scratch register that is damaged is put aside and a fresh one is opened', async () => {
  const folder = freshFolder();
  await startApi(folder).api.close();
  const data = join(folder, 'data');
  for (const file of readdirSync(data))
    if (file.startsWith('scratch')) writeFileSync(join(data, file), 'not a database');
  const { api } = startApi(folder);
  expect((await api.registerInfo(none)).isScratch).toBe(true);
  expect(readdirSync(data).some((file) => file.includes('damaged'))).toBe(true);
});

test('a folder in the place of the scratch register does not keep the program from starting', async () => {
  const folder = freshFolder();
  const path = join(folder, 'data', 'scratch.spurledger');
  mkdirSync(path, { recursive: true });
  writeFileSync(join(path, 'in-the-way'), '');
  const { api } = startApi(folder);
  expect((await api.registerInfo(none)).title).toBe('Scratch');
});

test('undo and redo go back and forth, and the history keeps both', async () => {
  const { api } = startApi();
  await api.sourcePut({ source: SOURCE, replaces: null });
  const undone = await api.undo(none);
  expect(undone).toMatchObject({ sources: 0, canUndo: false, canRedo: true });
  expect((await api.redo(none)).sources).toBe(1);
  expect((await api.history({ limit: 10, beforeId: null })).map(({ action }) => action)).toEqual([
    'redo',
    'undo',
    'add',
  ]);
  await api.undo(none);
  expect(await problemOf(api.undo(none))).toMatchObject({ kind: 'refused' });
});

test('what is put away in the register comes back as it was given', async () => {
  const { api } = startApi();
  await api.sourcePut({ source: SOURCE, replaces: null });
  const s0 = await state(api, 'S0', null);
  const s1 = await state(api, 'S1', s0.id);
  const { capture } = await add(api, 'a.csv', smallCapture());
  const point = {
    name: 'RX',
    kind: 'receiver-port',
    where: 'J1',
    coupling: '',
    conductors: '',
    orientation: '',
    heightM: 0.8,
    bonding: '',
    notes: '',
  } as const;
  const fix = {
    fromStateId: s0.id,
    toStateId: s1.id,
    change: 'bead',
    sources: ['DC-A'],
    by: 'x',
    at,
    undoneAt: null,
    notes: '',
  };
  const event = { kind: 'vibration', description: 'axis Z', at, afterStateId: s1.id } as const;
  const decision = {
    captureId: capture.id,
    frequencyHz: 1e6,
    kind: 'confirm',
    source: 'DC-A',
    harmonic: 3,
    note: '',
    by: '',
  } as const;

  const kept = {
    point: await api.pointPut({ id: null, ...point }),
    fix: await api.fixPut({ id: null, ...fix }),
    event: await api.eventPut({ id: null, ...event }),
    decision: await api.decisionPut({ id: null, ...decision }),
  };
  expect(await api.pointList(none)).toEqual([{ id: kept.point.id, ...point }]);
  expect(await api.fixList(none)).toEqual([{ id: kept.fix.id, ...fix }]);
  expect(await api.eventList(none)).toEqual([{ id: kept.event.id, ...event }]);
  expect(await api.decisionList({ captureId: capture.id })).toMatchObject([{ ...decision, by: 'tester' }]);
  expect(await api.decisionList({ captureId: 99 })).toEqual([]);
  expect((await api.stateList(none)).map(({ name }) => name)).toEqual(['S0', 'S1']);

  const [assigned] = await api.captureAssign({
    captureIds: [capture.id],
    stateId: s1.id,
    pointId: kept.point.id,
    role: 'off',
  });
  expect(assigned).toMatchObject({ stateId: s1.id, pointId: kept.point.id, condition: { role: 'off' } });
  const [cleared] = await api.captureAssign({ captureIds: [capture.id], pointId: null });
  expect(cleared).toMatchObject({ stateId: s1.id, pointId: null });
});

test('what others rest on is not removed, and the reason is given', async () => {
  const { api } = startApi();
  const s0 = await state(api, 'S0', null);
  await state(api, 'S1', s0.id);
  expect(await problemOf(api.stateRemove({ id: s0.id }))).toMatchObject({ kind: 'refused' });
  const { capture } = await add(api, 'a.csv', smallCapture());
  const point = await api.pointPut({
    id: null,
    name: 'RX',
    kind: 'other',
    where: '',
    coupling: '',
    conductors: '',
    orientation: '',
    heightM: null,
    bonding: '',
    notes: '',
  });
  await api.captureAssign({ captureIds: [capture.id], pointId: point.id });
  expect(await problemOf(api.pointRemove({ id: point.id }))).toMatchObject({ kind: 'refused' });
  await api.captureRemove({ captureIds: [capture.id] });
  await api.pointRemove({ id: point.id });
  expect(await api.pointList(none)).toEqual([]);
});

test.each([
  ['a state with a parent that is not there', (api: RunningApi) => state(api, 'S', 9)],
  [
    'a fix between states that are not there',
    (api: RunningApi) =>
      api.fixPut({
        id: null,
        fromStateId: 8,
        toStateId: 9,
        change: 'x',
        sources: [],
        by: '',
        at,
        undoneAt: null,
        notes: '',
      }),
  ],
  [
    'an event after a state that is not there',
    (api: RunningApi) => api.eventPut({ id: null, kind: 'other', description: 'x', at, afterStateId: 9 }),
  ],
  [
    'a decision on a capture that is not there',
    (api: RunningApi) =>
      api.decisionPut({
        id: null,
        captureId: 9,
        frequencyHz: 1,
        kind: 'note',
        source: null,
        harmonic: null,
        note: '',
        by: '',
      }),
  ],
  ['a source that is not there', (api: RunningApi) => api.sourceRemove({ designator: 'X' })],
  ['a capture that is not there', (api: RunningApi) => api.captureRemove({ captureIds: [9] })],
  [
    'the columns of a capture that is not there',
    (api: RunningApi) => api.traceColumns({ captureId: 9, traceIndex: 0, lowHz: 0, highHz: 1, columns: 10 }),
  ],
  ['the triage of a capture that is not there', (api: RunningApi) => api.triageRun({ captureId: 9, jobId: 't' })],
])('%s is refused and leaves no trace in the history', async (_, act) => {
  const { api } = startApi();
  expect(await problemOf(act(api))).toMatchObject({ kind: 'refused' });
  expect(await api.history({ limit: 5, beforeId: null })).toEqual([]);
});

test('states cannot come from each other in a circle', async () => {
  const { api } = startApi();
  const s0 = await state(api, 'S0', null);
  const s1 = await state(api, 'S1', s0.id);
  const circle = api.statePut({ ...s0, parentId: s1.id });
  expect(await problemOf(circle)).toMatchObject({ kind: 'refused' });
});

test('sources are checked while typed, imported, exported, and a broken table changes nothing', async () => {
  const { api } = startApi();
  const [problem] = await api.sourceCheck({ source: { ...SOURCE, designator: '' }, replaces: null });
  expect(problem).toMatchObject({ field: 'designator' });
  expect(await api.sourceCheck({ source: SOURCE, replaces: null })).toEqual([]);

  const text = 'designator,kind,nominal_hz\nDC-A,converter,300000\nCLK,clock,12000000\n';
  const entries = await api.sourceImport({ file: 's.csv', text, replaceAll: true });
  expect(entries.map(({ source, letter }) => [source.designator, letter])).toEqual([
    ['DC-A', 'A'],
    ['CLK', 'B'],
  ]);
  const repeated = api.sourceImport({ file: 's.csv', text: `${text}CLK,clock,1\n`, replaceAll: true });
  expect(await problemOf(repeated)).toMatchObject({ kind: 'input', problem: { file: 's.csv' } });
  const exported = await api.sourceExport(none);
  expect(exported.file).toBe('Scratch-sources.csv');
  expect(await api.sourceImport({ ...exported, replaceAll: true })).toMatchObject(
    entries.map(({ source }) => ({ source })),
  );
  await api.sourceRemove({ designator: 'CLK' });
  expect((await api.registerInfo(none)).sources).toBe(1);
});

test('bands are taken in place of those there were', async () => {
  const { api } = startApi();
  await api.bandImport({ file: 'b.csv', text: 'name,low_hz,high_hz\nB1,1e6,2e6\nB2,3e6,4e6\n' });
  const bands = await api.bandImport({ file: 'b.csv', text: 'name,low_hz,high_hz\nB2,3e6,5e6\n' });
  expect(bands).toMatchObject([{ name: 'B2', highHz: 5e6 }]);
  expect(bands[0]).not.toHaveProperty('id');
  expect(await api.bandList(none)).toEqual(bands);
});

test('folders are listed with registers before other files, hidden ones left out', async () => {
  const { api, folder } = startApi();
  writeFileSync(join(folder, 'b.csv'), '');
  writeFileSync(join(folder, 'z.spurledger'), '');
  writeFileSync(join(folder, '.hidden'), '');
  const listing = await api.folderList({ path: null });
  expect(listing.entries.map(({ name, kind }) => [name, kind])).toEqual([
    ['data', 'folder'],
    ['z.spurledger', 'register'],
    ['b.csv', 'file'],
  ]);
  expect(listing.parent).not.toBeNull();
  expect(await problemOf(api.folderList({ path: join(folder, 'nowhere') }))).toMatchObject({
    kind: 'input',
    problem: { found: 'no such folder' },
  });
  expect(await problemOf(api.folderList({ path: join(folder, 'b.csv') }))).toMatchObject({ kind: 'input' });
});

test('a second window on the same register sees the change and is told of it', async () => {
  const { api, folder } = startApi();
  const { path } = await api.registerNew({ path: 'shared', title: 'Shared' });
  await api.close();
  const one = startApi(folder);
  const two = startApi(folder);
  expect((await one.api.registerInfo(none)).path).toBe(path);
  await one.api.sourcePut({ source: SOURCE, replaces: null });
  expect((await two.api.sourceList(none)).map(({ source }) => source.designator)).toEqual(['DC-A']);
  await expect
    .poll(() => two.events.map(({ event }) => event), { timeout: 5000 })
    .toContainEqual({ subjects: ['source'] });
});

test('two registers open in two windows do not mix', async () => {
  const folder = freshFolder();
  const one = startApi(folder);
  const two = startApi(freshFolder());
  await one.api.registerNew({ path: 'one', title: 'One' });
  await two.api.registerNew({ path: 'two', title: 'Two' });
  await add(one.api, 'a.csv', smallCapture());
  expect(await two.api.captureList(none)).toEqual([]);
  expect(existsSync(join(folder, 'one.spurledger'))).toBe(true);
});

test('every call refuses an argument that is none', async () => {
  const { api } = startApi();
  const calls = Object.entries(api).filter(([name]) => name !== 'close');
  for (const [name, call] of calls as [string, (argument: unknown) => Promise<unknown>][]) {
    expect(await problemOf(call('nonsense')), name).toMatchObject({ kind: 'input', problem: { file: name } });
  }
});

test('many decisions are one step: undone together, and none is kept where one cannot be', async () => {
  const { api } = startApi();
  const { capture } = await api.captureAdd({ file: 'a.csv', bytes: smallCapture(), jobId: 'a' });
  const decision = (frequencyHz: number, captureId = capture.id) =>
    ({ id: null, captureId, frequencyHz, kind: 'confirm', source: null, harmonic: null, note: '', by: '' }) as const;
  const kept = await api.decisionPutMany({ decisions: [decision(2e5), decision(3e5), decision(4e5)] });
  expect(kept.map(({ frequencyHz, by }) => [frequencyHz, by])).toEqual([2e5, 3e5, 4e5].map((hz) => [hz, 'tester']));
  await expect(api.decisionPutMany({ decisions: [decision(5e5), decision(6e5, 99)] })).rejects.toThrow();
  expect(await api.decisionList({ captureId: capture.id })).toHaveLength(3);
  await api.undo(none);
  expect(await api.decisionList({ captureId: capture.id })).toEqual([]);
});

test('captures laid over each other: the largest and the mean of both at each point; another axis is refused', async () => {
  const { api } = startApi();
  const add = async (file: string, bytes: Uint8Array) =>
    (await api.captureAdd({ file, bytes, jobId: file })).capture.id;
  const low = await add('low.csv', smallCapture({ seed: 2 }));
  const high = await add('high.csv', smallCapture({ seed: 3, floorDbm: -80 }));
  const short = await add('short.csv', smallCapture({ points: 900 }));
  const view = { lowHz: 1e5, highHz: 1.5e5, columns: 500 };
  const columnsOf = (captureId: number) => api.traceColumns({ captureId, traceIndex: 0, ...view });
  const [a, b] = [await columnsOf(low), await columnsOf(high)];
  const largest = await api.overlayColumns({ captureIds: [low, high], combine: 'largest', ...view });
  const mean = await api.overlayColumns({ captureIds: [low, high], combine: 'mean', ...view });
  expect([...largest.maximumDb]).toEqual(Array.from(a.maximumDb, (level, i) => Math.max(level, b.maximumDb[i]!)));
  mean.maximumDb.forEach((level, i) =>
    expect(level).toBeCloseTo(10 * Math.log10((10 ** (a.maximumDb[i]! / 10) + 10 ** (b.maximumDb[i]! / 10)) / 2), 9),
  );
  expect(largest.floorDb).toHaveLength(0);
  await expect(api.overlayColumns({ captureIds: [low, short], combine: 'mean', ...view })).rejects.toThrow(
    /low\.csv and short\.csv have different frequency axes/,
  );
});

test('a state and the fix that made it are one step; a source changed from an older version is refused', async () => {
  const { api } = startApi();
  const state = { description: '', parentId: null, at: '2026-03-04T10:00:00Z', configuration: [] };
  const s0 = await api.statePut({ id: null, name: 'S0', ...state });
  const fix = { change: 'a bead', sources: [], by: '', at: '2026-03-04T10:00:00Z', notes: '' };
  await expect(api.statePut({ id: null, name: 'S1', ...state, fix })).rejects.toThrow(/say which state/);
  await expect(
    api.statePut({ id: null, name: 'S1', ...state, parentId: s0.id, fix: { ...fix, sources: ['U9'] } }),
  ).rejects.toThrow(/no source U9/);
  expect(await api.stateList({})).toHaveLength(1);
  const s1 = await api.statePut({ id: null, name: 'S1', ...state, parentId: s0.id, fix });
  expect(await api.fixList({})).toMatchObject([{ fromStateId: s0.id, toStateId: s1.id, change: 'a bead' }]);
  await api.undo({});
  expect([(await api.stateList({})).length, await api.fixList({})]).toEqual([1, []]);

  const text = 'designator,kind,nominal_hz\nU1,converter,300000\n';
  await api.sourceImport({ file: 's.csv', text, replaceAll: false });
  const [{ source, revision }] = (await api.sourceList({})) as [SourceEntry];
  await api.sourcePut({ source: { ...source, notes: 'one' }, replaces: 'U1', revision });
  await expect(api.sourcePut({ source: { ...source, notes: 'two' }, replaces: 'U1', revision })).rejects.toThrow(
    /another window/,
  );
  expect((await api.sourceList({}))[0]!.source.notes).toBe('one');

  const event = await api.eventPut({
    id: null,
    kind: 'vibration',
    description: 'axis Z',
    at: state.at,
    afterStateId: s0.id,
  });
  await api.eventRemove({ id: event.id });
  expect(await api.eventList({})).toEqual([]);
});
