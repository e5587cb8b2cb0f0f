import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, expect, test, vi } from 'vitest';
import { ELECTRON_CHANNEL, ELECTRON_USABLE } from '../../../src-main/api/wire.ts';
import { EventHub, openDoor, type Doors } from '../../../src-main/api/door.ts';
import { PAGE, answerPage, runElectron } from '../../../src-main/hosts/electron/open-window.ts';
import { atEnd, pageFolder } from '../carriers.ts';
import * as fake from '../fake-electron.ts';
import { STUB } from '../stub-api.ts';

vi.mock('electron', () => import('../fake-electron.ts'));

const closed = vi.fn(() => Promise.resolve());
const shut = vi.fn();
let window: fake.BrowserWindow;
let kept: string;

/** Doors that say which register they were opened for; each with pushes of its own. */
function doorsThatSay(): Doors & { readonly hubs: EventHub[] } {
  const hubs: EventHub[] = [];
  return {
    hubs,
    open(key) {
      const hub = new EventHub();
      hubs.push(hub);
      const info = { registerInfo: () => Promise.resolve({ key }) } as never;
      return { ...openDoor({ ...STUB, ...(info as object) }, hub), register: () => `/registers/${key}`, shut };
    },
    keyOf: (path) => (path.startsWith('/registers/') ? path.slice('/registers/'.length) : null),
  };
}

async function start(doors: Doors = doorsThatSay()): Promise<fake.BrowserWindow> {
  await runElectron(doors, { preload: '/app/preload.cjs', pageFolder: pageFolder(), kept }, closed);
  return fake.BrowserWindow.all.at(-1)!;
}

beforeEach(async () => {
  closed.mockClear();
  shut.mockClear();
  kept = join(pageFolder(), 'windows.json');
  atEnd(() => {
    for (const open of [...fake.BrowserWindow.all]) open.close();
  });
  window = await start();
});

const ask = (
  senderFrame: fake.Frame | null,
  from = window,
  name = 'captureRemove',
  argument: object = { captureIds: [] },
) => fake.invokeAs({ sender: from.webContents, senderFrame }, ELECTRON_CHANNEL, name, argument);
const register = (of: fake.BrowserWindow) => ask(of.webContents.mainFrame, of, 'registerInfo', {});
/** The page of a window asks for another one on a register. */
const openFrom = (from: fake.BrowserWindow, url: string) => from.webContents.openHandler!({ url });

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
  const own = vi.fn();
  window.webContents.emit('will-navigate', { preventDefault: own, url: `${PAGE}?register=a` }); // loaded anew
  expect(own).not.toHaveBeenCalled();
  for (const name of ['will-navigate', 'will-attach-webview']) {
    const preventDefault = vi.fn();
    window.webContents.emit(name, { preventDefault });
    expect(preventDefault, name).toHaveBeenCalled();
  }
  for (const url of ['https://evil.example/', PAGE, `https://evil.example/?register=a`, 'about:blank']) {
    expect(openFrom(window, url)).toEqual({ action: 'deny' });
    expect(fake.BrowserWindow.all).toHaveLength(1);
  }
  const answer = vi.fn();
  fake.permissions.handler!(window.webContents, 'geolocation', answer);
  expect(answer).toHaveBeenCalledWith(false);
  fake.permissions.handler!(window.webContents, 'clipboard-sanitized-write', answer);
  expect(answer).toHaveBeenLastCalledWith(true);
});

test('a window on another register has a door, a place and pushes of its own; each page is answered by its own door', async () => {
  const doors = doorsThatSay();
  for (const open of [...fake.BrowserWindow.all]) open.close();
  rmSync(kept);
  const first = await start(doors);
  expect(openFrom(first, `${PAGE}?register=other`)).toEqual({ action: 'deny' });
  const second = fake.BrowserWindow.all.at(-1)!;
  expect(second).not.toBe(first);
  expect(second.webContents.mainFrame.url).toBe(`${PAGE}?register=other`);
  expect(second.options.x).toBe(first.options.x + 32);
  expect(await register(first)).toEqual({ ok: true, value: { key: null } });
  expect(await register(second)).toEqual({ ok: true, value: { key: 'other' } });
  doors.hubs[1]!.emit('registerChanged', { subjects: ['source'] });
  expect(first.webContents.sent).toEqual([]);
  expect(second.webContents.sent).toHaveLength(1);
  second.close();
  expect(shut).toHaveBeenCalledTimes(2); // that of the first test window and this one
  await expect(ask(second.webContents.mainFrame, second)).rejects.toThrow('not answered');
});

test('windows come back where they were and with their registers, a smaller display notwithstanding', async () => {
  openFrom(window, `${PAGE}?register=other`);
  const second = fake.BrowserWindow.all.at(-1)!;
  Object.assign(second.options, { x: 4000, y: 50, width: 1300, height: 800 });
  second.isMax = true;
  fake.app.emit('before-quit');
  for (const open of [...fake.BrowserWindow.all]) open.close();
  const names = JSON.parse(readFileSync(kept, 'utf8')) as { register: string }[];
  expect(names.map((one) => one.register)).toEqual(['/registers/null', '/registers/other']);
  await start();
  const again = fake.BrowserWindow.all;
  expect(again.map(({ webContents }) => webContents.mainFrame.url)).toEqual([
    `${PAGE}?register=null`,
    `${PAGE}?register=other`,
  ]);
  expect(again[1]!.isMax).toBe(true);
  expect(again[1]!.options).toMatchObject({ x: 1920 - 1300, y: 50, width: 1300, height: 800 });
});

test('the last window closed by itself is the one that opens next; a damaged note of them opens one as ever', async () => {
  openFrom(window, `${PAGE}?register=other`);
  window.close();
  fake.BrowserWindow.all[0]!.close();
  expect((await start()).webContents.mainFrame.url).toBe(`${PAGE}?register=other`);
  for (const text of [
    '',
    '{',
    '[{"register":3}]',
    '[null]',
    '{"a":1}',
    '[{"register":"/gone","isMaximized":false,"bounds":{"x":1,"y":1,"width":1200,"height":800}}]',
  ]) {
    for (const open of [...fake.BrowserWindow.all]) open.close();
    writeFileSync(kept, text);
    expect((await start()).webContents.mainFrame.url, text).toBe(PAGE);
    expect(fake.BrowserWindow.all).toHaveLength(1);
  }
});

test('a menu item goes to the page in front as a command, with the gesture that dialogs ask for', async () => {
  openFrom(window, `${PAGE}?register=other`);
  const second = fake.BrowserWindow.all.at(-1)!;
  window.focus();
  fake.Menu.item('captures.open')!.click!();
  await vi.waitFor(() => expect(window.webContents.sent).toEqual([{ kind: 'command', id: 'captures.open' }]));
  expect(window.webContents.gestures).toBe(1);
  expect(second.webContents.sent).toEqual([]);
});

test('the menu greys what the page in front cannot do, and believes no other sender', () => {
  const tell = (from: fake.BrowserWindow, senderFrame: fake.Frame | null, ids: unknown) =>
    fake.sendAs({ sender: from.webContents, senderFrame }, ELECTRON_USABLE, ids);
  openFrom(window, `${PAGE}?register=other`);
  const second = fake.BrowserWindow.all.at(-1)!;
  window.focus();
  expect(fake.Menu.item('undo')!.enabled).toBe(false);
  tell(window, window.webContents.mainFrame, ['undo']);
  expect([fake.Menu.item('undo')!.enabled, fake.Menu.item('redo')!.enabled]).toEqual([true, false]);
  second.focus();
  expect(fake.Menu.item('undo')!.enabled).toBe(false);
  tell(second, { url: PAGE }, ['undo']);
  tell(second, second.webContents.mainFrame, 'undo');
  expect(fake.Menu.item('undo')!.enabled).toBe(false);
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
