import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { startApi } from './running-api.ts';

const SAMPLES = join(import.meta.dirname, '..', '..', 'sample-captures', 'wren', 'wren.json');

test('the demonstration opens as an invented register with states, fixes and triaged captures, and twice makes two', async (context) => {
  if (!existsSync(SAMPLES)) return context.skip('no sample captures in this checkout');
  const { api, folder } = startApi();
  const info = await api.registerOpenDemo({});
  expect(info).toMatchObject({ isInvented: true, isScratch: false });
  expect(info.sources).toBeGreaterThanOrEqual(5);
  expect((await api.fixList({})).length).toBeGreaterThanOrEqual(4);
  const captures = await api.captureList({});
  expect(captures.length).toBeGreaterThanOrEqual(6);
  for (const capture of captures) {
    expect(capture.stateId, capture.file).not.toBeNull();
    expect(await api.triageGet({ captureId: capture.id }), capture.file).not.toBeNull();
  }
  const again = await api.registerOpenDemo({});
  expect(again.path).not.toBe(info.path);
  expect([info.path, again.path].every((path) => path.startsWith(folder) && existsSync(path))).toBe(true);
});
