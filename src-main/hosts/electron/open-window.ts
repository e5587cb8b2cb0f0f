import { app, BrowserWindow, ipcMain, Menu, protocol, session, type IpcMainInvokeEvent } from 'electron';
import type { Door } from '../../api/door.ts';
import { ELECTRON_CHANNEL, type ToPage } from '../../api/wire.ts';
import { CONTENT_POLICY, pageFile } from '../page-files.ts';

export interface WindowFiles {
  /** Path of the built preload script. */
  readonly preload: string;
  /** Folder of the built page. */
  readonly pageFolder: string;
}

const SCHEME = 'spurledger';
/** The page's only address. A scheme of our own, because pages from file: may read other files. */
export const PAGE = `${SCHEME}://page/`;

/** Only the main frame of one of our own windows, showing our own page, is answered. */
export function isOurSender(event: Pick<IpcMainInvokeEvent, 'senderFrame' | 'sender'>): boolean {
  const frame = event.senderFrame;
  return frame !== null && frame === event.sender.mainFrame && frame.url.split(/[?#]/)[0] === PAGE;
}

/** One ipc channel for all calls. */
export function answerCalls(door: Door): void {
  ipcMain.handle(ELECTRON_CHANNEL, (event, name: unknown, argument: unknown) => {
    if (!isOurSender(event)) throw new Error('This sender is not answered.');
    return door.call(name, argument);
  });
}

/** Answers a request of the page with a file of its own folder, under the same content policy as the loopback host. */
export async function answerPage(pageFolder: string, url: string): Promise<Response> {
  const { host, pathname } = new URL(url);
  const file = host === new URL(PAGE).host ? await pageFile(pageFolder, pathname) : null;
  if (file === null) return new Response('There is no such file.', { status: 404 });
  return new Response(new Uint8Array(file.bytes), {
    headers: {
      'content-type': file.type,
      'content-security-policy': CONTENT_POLICY,
      'x-content-type-options': 'nosniff',
    },
  });
}

export function openWindow(door: Door, { preload }: WindowFiles): BrowserWindow {
  const window = new BrowserWindow({
    width: 1440,
    height: 900,
    minWidth: 1100,
    minHeight: 700,
    title: 'Spurledger',
    webPreferences: { preload, contextIsolation: true, sandbox: true, nodeIntegration: false },
  });
  const contents = window.webContents;
  contents.setWindowOpenHandler(() => ({ action: 'deny' }));
  contents.on('will-navigate', (event) => event.preventDefault());
  contents.on('will-attach-webview', (event) => event.preventDefault());
  const stop = door.listen((name, event) => {
    const message: ToPage = { kind: 'event', name, event };
    if (!contents.isDestroyed()) contents.send(ELECTRON_CHANNEL, message);
  });
  window.on('closed', stop);
  void window.loadURL(PAGE);
  return window;
}

const MENU: Electron.MenuItemConstructorOptions[] = [
  ...(process.platform === 'darwin' ? [{ role: 'appMenu' as const }] : []),
  { role: 'editMenu' },
  {
    label: 'View',
    submenu: [{ role: 'zoomIn' }, { role: 'zoomOut' }, { role: 'resetZoom' }, { role: 'togglefullscreen' }],
  },
  { role: 'windowMenu' },
];

/**
 * Everything Electron-specific, in order. Call it without awaiting it at the top of the entry: Electron is ready only after
 * the entry has been evaluated, and would wait for itself.
 */
export async function runElectron(door: Door, files: WindowFiles, close: () => Promise<void>): Promise<void> {
  protocol.registerSchemesAsPrivileged([
    { scheme: SCHEME, privileges: { standard: true, secure: true, supportFetchAPI: true } },
  ]);
  app.on('window-all-closed', () => {
    if (process.platform !== 'darwin') app.quit();
  });
  app.on('will-quit', () => void close());
  await app.whenReady();
  protocol.handle(SCHEME, (request) => answerPage(files.pageFolder, request.url));
  session.defaultSession.setPermissionRequestHandler((_contents, _permission, answer) => answer(false));
  answerCalls(door);
  Menu.setApplicationMenu(Menu.buildFromTemplate(MENU));
  openWindow(door, files);
  app.on('activate', () => {
    if (BrowserWindow.getAllWindows().length === 0) openWindow(door, files);
  });
}
