import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { createWindows } from './api/create-api.ts';
import { runElectron } from './hosts/electron/open-window.ts';
import { dataFolder, documentsFolder, userName } from './hosts/folders.ts';
import { APP_VERSION } from './version.ts';

const windows = createWindows({
  dataFolder: dataFolder(),
  documentsFolder: documentsFolder(),
  host: 'electron',
  appVersion: APP_VERSION,
  who: userName(),
  now: () => new Date(),
});
const files = {
  preload: fileURLToPath(new URL('../preload/preload.cjs', import.meta.url)),
  pageFolder: fileURLToPath(new URL('../renderer', import.meta.url)),
  kept: join(dataFolder(), 'windows.json'),
};
void runElectron(windows, files, () => windows.close());
