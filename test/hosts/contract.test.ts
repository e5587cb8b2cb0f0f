import { createHash } from 'node:crypto';
import { join } from 'node:path';
import { describe, expect, test, vi } from 'vitest';
import { createApi, type RunningApi } from '../../src-main/api/create-api.ts';
import type { Client, Events } from '../../src-main/api/contract.ts';
import { EventHub, openDoor } from '../../src-main/api/door.ts';
import { freshFolder } from '../api/running-api.ts';
import { comb, smallCapture, START_HZ, STEP_HZ } from '../api/small-capture.ts';
import { atEnd, CARRIERS } from './carriers.ts';
import { AWKWARD, PROBLEM, STUB } from './stub-api.ts';

vi.mock('electron', () => import('./fake-electron.ts'));

/** One suite for the contract, whatever carries it. */
describe.each(CARRIERS)('$name', ({ carry }) => {
  const stubbed = (): Promise<Client> => carry(openDoor(STUB, new EventHub()));

  async function real(): Promise<{ client: Client; api: RunningApi }> {
    const hub = new EventHub();
    const folder = freshFolder();
    const api = createApi({
      dataFolder: join(folder, 'data'),
      documentsFolder: folder,
      host: 'direct',
      appVersion: '0.0.0-test',
      emit: hub.emit,
      who: 'tester',
      now: () => new Date(Date.UTC(2026, 2, 1)),
    });
    atEnd(() => api.close());
    return { client: await carry(openDoor(api, hub)), api };
  }

  async function value<T>(answer: Promise<{ ok: true; value: T } | { ok: false; problem: unknown }>): Promise<T> {
    const settled = await answer;
    if (!settled.ok) throw new Error(JSON.stringify(settled.problem));
    return settled.value;
  }

  test('typed arrays arrive as typed arrays, with NaN, infinities, −0 and the last bit of every number', async () => {
    const client = await stubbed();
    const columns = await value(
      client.call('traceColumns', { captureId: 1, traceIndex: 0, lowHz: 0, highHz: 1, columns: 1_500_000 }),
    );
    expect(columns.frequencyHz).toBeInstanceOf(Float64Array);
    expect(columns.frequencyHz.length).toBe(1_500_000);
    expect(columns.frequencyHz[1_499_999]).toBe(1e5 + 1_499_999 * 0.1);
    expect([...columns.minimumDb]).toEqual(AWKWARD);
    expect(columns.maximumDb).toEqual(new Float64Array(0));
    expect(columns.floorDb[0]).toBeNaN();
    expect(Object.is(columns.thresholdDb[0], -0)).toBe(true);
  });

  test('twelve megabytes of a file arrive byte for byte', async () => {
    const client = await stubbed();
    const bytes = Uint8Array.from({ length: 12_000_000 }, (_, i) => (i * 2654435761) >>> 24);
    const { capture } = await value(client.call('captureAdd', { file: 'a', bytes, jobId: 'j' }));
    expect(capture.file).toBe(createHash('sha256').update(bytes).digest('hex'));
    expect(['Uint8Array', 'Buffer']).toContain(capture.layout);
  });

  test('a field left out stays left out, and null stays null', async () => {
    const client = await stubbed();
    const [without] = await value(client.call('captureAssign', { captureIds: [1], traceIndex: 0 }));
    expect(without).toEqual({ file: 'captureIds,traceIndex', stateId: undefined });
    const [cleared] = await value(client.call('captureAssign', { captureIds: [1], stateId: null }));
    expect(cleared).toEqual({ file: 'captureIds,stateId', stateId: null });
    expect(await client.call('captureRemove', { captureIds: [] })).toEqual({ ok: true, value: undefined });
  });

  test('what a call threw arrives as plain data and says whose matter it is', async () => {
    const client = await stubbed();
    const given = { file: 'a', text: '', replaceAll: false };
    expect(await client.call('sourceImport', given)).toEqual({
      ok: false,
      problem: { kind: 'input', message: expect.stringContaining('line 7') as string, problem: PROBLEM },
    });
    expect(await client.call('registerOpen', { path: 'a' })).toEqual({
      ok: false,
      problem: { kind: 'refused', message: 'another window holds it', problem: null },
    });
    for (const [name, message] of [
      ['undo', 'our fault'],
      ['redo', 'thrown at once'],
    ] as const)
      expect(await client.call(name, {})).toEqual({ ok: false, problem: { kind: 'internal', message, problem: null } });
  });

  test('a name that is no call is refused, also those that every object has and the one that ends the program', async () => {
    const client = await stubbed();
    for (const name of ['nothing', 'close', 'constructor', 'toString', '__proto__', '', 'hasOwnProperty'])
      expect(await client.call(name as 'about', {}), name).toMatchObject({
        ok: false,
        problem: { kind: 'internal', message: `There is no call “${name}”.` },
      });
  });

  test('answers find their own questions when many are under way', async () => {
    const client = await stubbed();
    const sizes = Array.from({ length: 40 }, (_, i) => ((i * 7) % 40) * 100);
    const answers = await Promise.all(
      sizes.map((columns) =>
        value(client.call('traceColumns', { captureId: 1, traceIndex: 0, lowHz: 0, highHz: 1, columns })),
      ),
    );
    expect(answers.map(({ frequencyHz }) => frequencyHz.length)).toEqual(sizes);
  });

  test('a capture goes in, its trace is drawn, its spurs are named, and every step is pushed', async () => {
    const { client } = await real();
    const progress: Events['progress'][] = [];
    const changes: string[] = [];
    client.on('progress', (event) => progress.push(event));
    const stop = client.on('registerChanged', ({ subjects }) => changes.push(...subjects));
    const bytes = smallCapture({ lines: comb(303_000, 25) });
    const { capture } = await value(client.call('captureAdd', { file: 'bench.csv', bytes, jobId: 'add' }));
    const columns = await value(
      client.call('traceColumns', { captureId: capture.id, traceIndex: 0, lowHz: 0, highHz: 1e9, columns: 10_000 }),
    );
    expect(columns.thinned).toBe(false);
    expect(columns.frequencyHz[17]).toBe(START_HZ + 17 * STEP_HZ);
    const view = await value(client.call('triageRun', { captureId: capture.id, jobId: 'find' }));
    expect(view.spurs.length).toBeGreaterThanOrEqual(comb(303_000, 25).length);
    expect(progress.filter(({ jobId }) => jobId === 'find').length).toBeGreaterThan(0);
    await vi.waitFor(() => expect(changes).toEqual(expect.arrayContaining(['capture', 'triage'])));
    stop();
    changes.length = 0;
    await value(client.call('captureRemove', { captureIds: [capture.id] }));
    await value(client.call('about', {}));
    expect(changes).toEqual([]);
  });

  test('work under way is cancelled from the page, and the next call is answered', async () => {
    const { client } = await real();
    const bytes = smallCapture({ points: 150_000 });
    const { capture } = await value(client.call('captureAdd', { file: 'long.csv', bytes, jobId: 'add' }));
    const running = client.call('triageRun', { captureId: capture.id, jobId: 'long' });
    await value(client.call('cancel', { jobId: 'long' }));
    expect(await running).toMatchObject({ ok: false, problem: { kind: 'cancelled' } });
    expect(await value(client.call('triageGet', { captureId: capture.id }))).toBeNull();
  });

  test('an argument of the wrong shape is refused before anything is done', async () => {
    const { client } = await real();
    for (const argument of [undefined, null, 'x', { captureIds: 'all' }, { captureIds: [1], more: 1 }])
      expect(await client.call('captureRemove', argument as never)).toMatchObject({ ok: false });
    expect(await value(client.call('history', { limit: 10, beforeId: null }))).toEqual([]);
  });
});
