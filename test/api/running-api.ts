import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach } from 'vitest';
import { createApi, type RunningApi } from '../../src-main/api/create-api.ts';
import type { EventName, Events } from '../../src-main/api/contract.ts';

export interface Started {
  readonly api: RunningApi;
  readonly folder: string;
  readonly events: { readonly name: EventName; readonly event: Events[EventName] }[];
}

const started: Started[] = [];
const folders: string[] = [];

/** An api over a fresh folder, or over one that another api of the test already used. Closed and removed after the test. */
export function startApi(folder = freshFolder(), watchEveryMs = 1e6): Started {
  const events: Started['events'] = [];
  let tick = Date.UTC(2026, 2, 1);
  const api = createApi({
    dataFolder: join(folder, 'data'),
    documentsFolder: folder,
    host: 'direct',
    appVersion: '0.0.0-test',
    emit: (name, event) => events.push({ name, event }),
    who: 'tester',
    now: () => new Date((tick += 1000)),
    watchEveryMs,
  });
  const made = { api, folder, events };
  started.push(made);
  return made;
}

export function freshFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'spurledger-api-'));
  folders.push(folder);
  return folder;
}

afterEach(async () => {
  for (const { api } of started.splice(0)) await api.close();
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
});
