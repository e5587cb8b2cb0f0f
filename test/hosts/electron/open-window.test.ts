import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, expect, test, vi } from 'vitest';
import { ELECTRON_CHANNEL } from '../../../src-main/api/wire.ts';
import { EventHub, openDoor } from '../../../src-main/api/door.ts';
import { PAGE, answerPage, runElectron } from '../../../src-main/hosts/electron/open-window.ts';
import { atEnd, pageFolder } from '../carriers.ts';
import * as fake from '../fake-electron.ts';
import { STUB } from '../stub-api.ts';

vi.mock('electron', () => import('../fake-electron.ts'));

const closed = vi.fn(() => Promise.resolve());
let window: fake.BrowserWindow;

beforeEach(async () => {
  closed.mockClear();
  const files = { preload: '/app/preload.cjs', pageFolder: pageFolder() };
  await runElectron(openDoor(STUB, new EventHub()), files, closed);
  window = fake.BrowserWindow.all.at(-1)!;
  atEnd(() => {
    if (fake.BrowserWindow.all.includes(window)) window.close();
  });
});

const ask = (senderFrame: fake.Frame | null) =>
  fake.invokeAs({ sender: window.webContents, senderFrame }, ELECTRON_CHANNEL, 'captureRemove', { captureIds: [] });

test('only the main frame that shows our own page is answered', async () => {
  const { mainFrame } = window.webContents;
  expect(await ask(mainFrame)).toEqual({ ok: true, value: undefined });
  await expect(ask({ url: PAGE })).rejects.toThrow('not answered'); // a frame inside the page
  await expect(ask(null)).rejects.toThrow('not answered'); // a frame that is gone
  for (const url of ['https://evil.example/', `${PAGE}other.html`, 'file:///index.html', 'spurledger://page.evil/']) {
    mainFrame.url = url;
    await expect(ask(mainFrame), url).rejects.toThrow('not answered');
  }
  mainFrame.url = `${PAGE}?a#b`;
  expect(await ask(mainFrame)).toMatchObject({ ok: true });
});

test('the page is isolated, sandboxed and without Node', () => {
  expect(window.options.webPreferences).toEqual({
    preload: '/app/preload.cjs',
    contextIsolation: true,
    sandbox: true,
    nodeIntegration: false,
  });
});

test('the page can go nowhere, open nothing and ask for no permission', () => {
  for (const name of ['will-navigate', 'will-attach-webview']) {
    const preventDefault = vi.fn();
    window.webContents.emit(name, { preventDefault });
    expect(preventDefault, name).toHaveBeenCalled();
  }
  expect(window.webContents.openHandler!()).toEqual({ action: 'deny' });
  const answer = vi.fn();
  fake.permissions.handler!(window.webContents, 'geolocation', answer);
  expect(answer).toHaveBeenCalledWith(false);
});

test('the page comes from its own folder alone, by its own scheme and under the content policy', async () => {
  const folder = pageFolder();
  writeFileSync(join(folder, '..', 'beside.html'), 'secret');
  const page = await answerPage(folder, PAGE);
  expect(await page.text()).toBe('<p>page</p>');
  expect(page.headers.get('content-type')).toContain('text/html');
  expect(page.headers.get('content-security-policy')).toContain("default-src 'none'");
  for (const url of [`${PAGE}%2e%2e%2fbeside.html`, `${PAGE}gone.js`, 'spurledger://elsewhere/index.html'])
    expect((await answerPage(folder, url)).status, url).toBe(404);
  expect(window.webContents.mainFrame.url).toBe(PAGE);
  expect(fake.protocol.schemes[0]).toMatchObject({ scheme: 'spurledger', privileges: { standard: true } });
});

test('the last window closed ends the program where that is the custom, and the register with it', () => {
  window.close();
  if (process.platform === 'darwin') expect(fake.app.quits).toBe(0);
  else expect(closed).toHaveBeenCalled();
});
