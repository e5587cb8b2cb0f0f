import { mkdirSync, renameSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { Api, CallName, Client, EventName } from '../../src-main/api/contract.ts';
import { createWindows, type RunningWindows } from '../../src-main/api/create-api.ts';
import type { WindowDoor } from '../../src-main/api/door.ts';
import { SOURCE } from '../report/sample-triage.ts';
import { freshFolder } from './running-api.ts';
import { smallCapture } from './small-capture.ts';

const GRACE_MS = 60;
const none = {};
let folder: string;
let windows: RunningWindows;

function start(graceMs = GRACE_MS): RunningWindows {
  mkdirSync(folder, { recursive: true });
  return createWindows({
    dataFolder: join(folder, 'data'),
    documentsFolder: folder,
    host: 'direct',
    appVersion: '0.0.0-test',
    who: 'tester',
    now: () => new Date(Date.UTC(2026, 2, 1)),
    watchEveryMs: 1e6,
    graceMs,
  });
}

beforeEach(() => {
  folder = freshFolder();
  windows = start();
});
afterEach(() => windows.close());

/** A window as its page sees it, with the pushes it heard. */
function open(key: string | null = null, of = windows) {
  const door: WindowDoor = of.open(key);
  const heard: { name: EventName; event: unknown }[] = [];
  door.listen((name, event) => heard.push({ name, event }));
  const call = async <K extends CallName>(name: K, argument: Parameters<Api[K]>[0]) => {
    const answer = (await door.call(name, argument)) as Awaited<ReturnType<Client['call']>>;
    if (!answer.ok) throw new Error(`${answer.problem.kind}: ${answer.problem.message}`);
    return answer.value as Awaited<ReturnType<Api[K]>>;
  };
  return { door, heard, call, shut: () => door.shut() };
}

const subjects = (heard: ReturnType<typeof open>['heard']) =>
  heard.flatMap(({ name, event }) => (name === 'registerChanged' ? (event as { subjects: string[] }).subjects : []));

test('opening another register in one window leaves the others where they are, and neither hears of the other’s changes', async () => {
  const [first, second] = [open(), open()];
  await first.call('registerNew', { path: 'one', title: 'One' });
  await second.call('registerNew', { path: 'two', title: 'Two' });
  expect((await first.call('registerInfo', none)).title).toBe('One');
  await first.call('sourcePut', { source: SOURCE, replaces: null });
  expect(await second.call('sourceList', none)).toEqual([]);
  expect(subjects(first.heard)).toContain('source');
  expect(second.heard).toEqual([]);
});

test('two windows on one register see each other’s changes at once, and undo goes across both', async () => {
  const first = open();
  const { key } = await first.call('registerNew', { path: 'one', title: 'One' });
  const second = open(key);
  await second.call('sourcePut', { source: SOURCE, replaces: null });
  expect(await first.call('sourceList', none)).toHaveLength(1);
  expect(subjects(first.heard)).toContain('source');
  await first.call('undo', none);
  expect(await second.call('sourceList', none)).toEqual([]);
  expect(windows.registers()).toBe(2); // this one and the scratch register of the first moment
  await expect.poll(() => windows.registers()).toBe(1);
});

test('one file by two names is one register', async () => {
  const first = open();
  const { path, key } = await first.call('registerNew', { path: 'one', title: 'One' });
  symlinkSync(path, join(folder, 'alias.spurledger'));
  const second = open();
  expect((await second.call('registerOpen', { path: join(folder, 'alias.spurledger') })).key).toBe(key);
});

test('a key leads back to its register after the grace time too; a made-up one leads to the register used last', async () => {
  const first = open();
  const one = await first.call('registerNew', { path: 'one', title: 'One' });
  const two = await first.call('registerNew', { path: 'two', title: 'Two' });
  expect(one.key).not.toBe(two.key);
  expect(one.key).toMatch(/^[\w-]{12}$/);
  first.shut();
  await expect.poll(() => windows.registers()).toBe(0);
  expect((await open(one.key).call('registerInfo', none)).title).toBe('One');
  for (const key of ['nonsense', one.path, '../one.spurledger', ''])
    expect((await open(key).call('registerInfo', none)).title, key).toBe('Two');
});

test('a window loaded anew comes back within the grace time to the same session; after the last one is gone for good the file is closed', async () => {
  await windows.close();
  windows = start(300);
  const first = open();
  const { key } = await first.call('registerNew', { path: 'one', title: 'One' });
  first.shut();
  first.shut(); // said twice, counted once
  const again = open(key);
  await new Promise((done) => setTimeout(done, 500));
  expect((await again.call('registerInfo', none)).title).toBe('One');
  again.shut();
  await expect.poll(() => windows.registers(), { timeout: 3000 }).toBe(0);
});

test('what is under way when the window goes is finished and kept before the register is closed', async () => {
  const first = open();
  const { key } = await first.call('registerNew', { path: 'one', title: 'One' });
  const bytes = smallCapture({ points: 60_000 });
  const { capture } = await first.call('captureAdd', { file: 'a.csv', bytes, jobId: 'a' });
  const running = first.call('triageRun', { captureId: capture.id, jobId: 't' });
  first.shut();
  await running;
  await expect.poll(() => windows.registers()).toBe(0);
  expect(await open(key).call('triageGet', { captureId: capture.id })).not.toBeNull();
});

test('what a window had asked of the register before is not answered as if it were of the new one', async () => {
  const first = open();
  const { path } = await first.call('registerNew', { path: 'one', title: 'One' });
  const { capture } = await first.call('captureAdd', {
    file: 'a.csv',
    bytes: smallCapture({ points: 60_000 }),
    jobId: 'a',
  });
  const running = first.door.call('triageRun', { captureId: capture.id, jobId: 't' });
  await first.call('registerNew', { path: 'two', title: 'Two' });
  expect(await running).toMatchObject({ ok: false, problem: { kind: 'cancelled' } });
  // it was done all the same, for the register it was asked of
  await first.call('registerOpen', { path });
  expect(await first.call('triageGet', { captureId: capture.id })).not.toBeNull();
});

test('a register for a new window is looked at first: what cannot be opened is refused, and this window stays where it is', async () => {
  const first = open();
  const one = await first.call('registerNew', { path: 'one', title: 'One' });
  await first.call('registerNew', { path: 'two', title: 'Two' });
  expect(await first.call('registerKey', { path: one.path })).toEqual({ key: one.key });
  expect((await first.call('registerInfo', none)).title).toBe('Two');
  await expect(first.call('registerKey', { path: 'nowhere.spurledger' })).rejects.toThrow('refused');
});

test('a file moved away and replaced by another is another register', async () => {
  const first = open();
  const one = await first.call('registerNew', { path: 'one', title: 'One' });
  const two = await first.call('registerNew', { path: 'two', title: 'Two' });
  renameSync(one.path, join(folder, 'older.spurledger'));
  await expect.poll(() => windows.registers()).toBe(1); // that of “One” was closed; its window moved on
  first.shut();
  await expect.poll(() => windows.registers()).toBe(0);
  renameSync(two.path, one.path);
  expect((await open().call('registerOpen', { path: one.path })).title).toBe('Two');
});

test('where a page was is kept for its register and how it looks for all, over a restart', async () => {
  const first = open();
  await first.call('registerNew', { path: 'one', title: 'One' });
  await first.call('pageKeep', { look: 'dark', place: 'here' });
  await first.call('registerNew', { path: 'two', title: 'Two' });
  expect(await first.call('pageKept', none)).toEqual({ look: 'dark', place: null });
  await first.call('pageKeep', { place: 'there' });
  await windows.close();
  windows = start();
  const again = open();
  expect(await again.call('pageKept', none)).toEqual({ look: 'dark', place: 'there' });
  await again.call('registerOpen', { path: 'one.spurledger' });
  expect(await again.call('pageKept', none)).toEqual({ look: 'dark', place: 'here' });
});

test('two windows make two demonstrations at the same time', { timeout: 60_000 }, async () => {
  const made = await Promise.all([open(), open()].map(({ call }) => call('registerOpenDemo', none)));
  expect(new Set(made.map(({ path }) => path)).size).toBe(2);
  expect(made.map(({ isInvented }) => isInvented)).toEqual([true, true]);
});

test('the end of the program closes every register, whatever is under way', async () => {
  const first = open();
  await first.call('registerNew', { path: 'one', title: 'One' });
  const { capture } = await first.call('captureAdd', {
    file: 'a.csv',
    bytes: smallCapture({ points: 150_000 }),
    jobId: 'a',
  });
  const ended = vi.fn();
  const running = first.door.call('triageRun', { captureId: capture.id, jobId: 't' }).then(ended);
  await windows.close();
  await running;
  expect(ended.mock.calls[0]![0]).toMatchObject({ ok: false, problem: { kind: 'cancelled' } });
  expect(windows.registers()).toBe(0);
  first.shut();
});
