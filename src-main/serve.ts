import { mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { createWindows } from './api/create-api.ts';
import { dataFolder, documentsFolder, userName } from './hosts/folders.ts';
import { startLoopback, type Loopback } from './hosts/loopback/start-loopback.ts';
import { APP_VERSION } from './version.ts';

/** Starts the loopback host with the real api. Built to out/main; the page lies beside in out/renderer. */
export async function serve(): Promise<Loopback> {
  mkdirSync(documentsFolder(), { recursive: true });
  const windows = createWindows({
    dataFolder: dataFolder(),
    documentsFolder: documentsFolder(),
    host: 'loopback',
    appVersion: APP_VERSION,
    who: userName(),
    now: () => new Date(),
  });
  // what keeps every window from opening is told here, and the first one finds its register open
  windows.open(null).shut();
  const pageFolder = fileURLToPath(new URL('../renderer', import.meta.url));
  const loopback = await startLoopback({ doors: windows, pageFolder });
  return {
    ...loopback,
    async close() {
      await loopback.close();
      await windows.close();
    },
  };
}
