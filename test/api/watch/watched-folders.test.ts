import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test, vi } from 'vitest';
import type { CaptureArrived } from '../../../src-main/api/contract/recording-calls.ts';
import { apiProblemOf } from '../../../src-main/api/api-problem.ts';
import { comb, smallCapture } from '../small-capture.ts';
import { startApi, type Started } from '../running-api.ts';

const EVERY_MS = 15;
const at = '2026-03-01T10:00:00Z';
const arrived = ({ events }: Started): CaptureArrived[] =>
  events.flatMap(({ name, event }) => (name === 'captureArrived' ? [event as CaptureArrived] : []));
const until = (check: () => void) => vi.waitFor(check, { timeout: 20_000, interval: 20 });

test('what arrives in a watched folder is taken in, put to its place, triaged, compared and told of; nothing twice, not after a restart either', async () => {
  const started = startApi(undefined, EVERY_MS);
  const { api, folder } = started;
  const inbox = join(folder, 'inbox');
  mkdirSync(inbox);
  const state = await api.statePut({ id: null, name: 'S1', description: '', parentId: null, at, configuration: [] });
  const before = await api.captureAdd({
    file: 'before.csv',
    bytes: smallCapture({ lines: comb(303_000, 25) }),
    jobId: 'b',
  });
  const kept = {
    id: null,
    path: inbox,
    stateId: state.id,
    pointId: null,
    condition: { mode: 'cruise', operator: 'AB' },
    compareWith: [before.capture.id],
    isOn: true,
  };
  expect(await api.watchPut(kept)).toMatchObject({
    folder: { path: inbox },
    waitingFor: [],
    refused: [],
    problem: null,
  });

  writeFileSync(join(inbox, 'after.csv'), smallCapture({ lines: comb(303_000, 12), seed: 2 }));
  writeFileSync(join(inbox, 'notes.csv'), 'no spectrum at all');
  await until(() => expect(arrived(started)).toHaveLength(2));
  const [good, bad] = [
    arrived(started).find(({ file }) => file === 'after.csv')!,
    arrived(started).find(({ file }) => file === 'notes.csv')!,
  ];
  expect(good.spurs).toBeGreaterThan(5);
  expect(good.sentence).toMatch(/spurs found\. .*(weaker|spur)/);
  expect(bad).toMatchObject({ captureId: null, sentence: expect.stringMatching(/notes.csv/) as string });
  const added = (await api.captureList({})).find(({ id }) => id === good.captureId)!;
  expect(added).toMatchObject({ file: 'after.csv', stateId: state.id, condition: { mode: 'cruise', operator: 'AB' } });
  expect((await api.watchList({}))[0]!.refused).toMatchObject([{ file: 'notes.csv' }]);

  // the same bytes by another name, and what was removed again, come back no more
  writeFileSync(join(inbox, 'again.csv'), smallCapture({ lines: comb(303_000, 12), seed: 2 }));
  await api.captureRemove({ captureIds: [added.id] });
  const { path } = await api.registerInfo({});
  await api.close();
  writeFileSync(join(inbox, 'meanwhile.csv'), smallCapture({ seed: 3 }));
  const second = startApi(folder, EVERY_MS);
  expect((await second.api.registerInfo({})).path).toBe(path);
  await until(() => expect(arrived(second).map(({ file }) => file)).toContain('meanwhile.csv'));
  await new Promise((done) => setTimeout(done, 10 * EVERY_MS));
  expect((await second.api.captureList({})).map(({ file }) => file)).toEqual(['before.csv', 'meanwhile.csv']);
});

test('a folder that is switched off is left alone; one that is none is refused', async () => {
  const { api, folder } = startApi(undefined, EVERY_MS);
  const inbox = join(folder, 'inbox');
  mkdirSync(inbox);
  writeFileSync(join(inbox, 'a.csv'), smallCapture());
  const kept = { id: null, path: inbox, stateId: null, pointId: null, condition: {}, compareWith: [], isOn: false };
  const { folder: off } = await api.watchPut(kept);
  await new Promise((done) => setTimeout(done, 10 * EVERY_MS));
  expect(await api.captureList({})).toEqual([]);
  const problem = async (path: string) => {
    try {
      await api.watchPut({ ...kept, path, isOn: true });
      return null;
    } catch (error) {
      return apiProblemOf(error).message;
    }
  };
  expect(await problem('inbox')).toMatch(/no full path/);
  expect(await problem(join(folder, 'nowhere'))).toMatch(/no folder that can be looked at/);
  await api.watchRemove({ id: off.id });
  expect(await api.watchList({})).toEqual([]);
});
