import { mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { createApi } from './api/create-api.ts';
import { EventHub, openDoor } from './api/door.ts';
import { dataFolder, documentsFolder, userName } from './hosts/folders.ts';
import { startLoopback, type Loopback } from './hosts/loopback/start-loopback.ts';
import { APP_VERSION } from './version.ts';

/** Starts the loopback host with the real api. Built to out/main; the page lies beside in out/renderer. */
export async function serve(): Promise<Loopback> {
  const hub = new EventHub();
  mkdirSync(documentsFolder(), { recursive: true });
  const api = createApi({
    dataFolder: dataFolder(),
    documentsFolder: documentsFolder(),
    host: 'loopback',
    appVersion: APP_VERSION,
    emit: hub.emit,
    who: userName(),
    now: () => new Date(),
  });
  const pageFolder = fileURLToPath(new URL('../renderer', import.meta.url));
  const loopback = await startLoopback({ door: openDoor(api, hub), pageFolder });
  return {
    ...loopback,
    async close() {
      await loopback.close();
      await api.close();
    },
  };
}
