import { createApi } from './api/create-api.ts';
import { EventHub, openDoor } from './api/door.ts';
import { runElectron } from './hosts/electron/open-window.ts';
import { dataFolder, documentsFolder, userName } from './hosts/folders.ts';
import { APP_VERSION } from './version.ts';
import { fileURLToPath } from 'node:url';

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
  page: new URL('../renderer/index.html', import.meta.url).href,
};
await runElectron(openDoor(api, hub), files, () => api.close());
