import { fileURLToPath } from 'node:url';
import { createApi } from './api/create-api.ts';
import { EventHub, openDoor } from './api/door.ts';
import { runElectron } from './hosts/electron/open-window.ts';
import { dataFolder, documentsFolder, userName } from './hosts/folders.ts';
import { APP_VERSION } from './version.ts';

const hub = new EventHub();
const api = createApi({
  dataFolder: dataFolder(),
  documentsFolder: documentsFolder(),
  host: 'electron',
  appVersion: APP_VERSION,
  emit: hub.emit,
  who: userName(),
  now: () => new Date(),
});
const files = {
  preload: fileURLToPath(new URL('../preload/preload.cjs', import.meta.url)),
  pageFolder: fileURLToPath(new URL('../renderer', import.meta.url)),
};
void runElectron(openDoor(api, hub), files, () => api.close());
