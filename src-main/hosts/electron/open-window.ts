import { app, BrowserWindow, ipcMain, Menu, session, type IpcMainInvokeEvent } from 'electron';
import type { Door } from '../../api/door.ts';
import { ELECTRON_CHANNEL, type ToPage } from '../../api/wire.ts';
import { CONTENT_POLICY } from '../loopback/page-files.ts';

export interface WindowFiles {
  readonly preload: string;
  /** file: URL of the page. */
  readonly page: string;
}

/** Only the main frame of one of our own windows, showing our own page, is answered. */
export function isOurSender(event: Pick<IpcMainInvokeEvent, 'senderFrame' | 'sender'>, page: string): boolean {
  const frame = event.senderFrame;
  return frame !== null && frame === event.sender.mainFrame && frame.url.split(/[?#]/)[0] === page;
}

/** One ipc channel for all calls. */
export function answerCalls(door: Door, page: string): void {
  ipcMain.handle(ELECTRON_CHANNEL, (event, name: unknown, argument: unknown) => {
    if (!isOurSender(event, page)) throw new Error('This sender is not answered.');
    return door.call(name, argument);
  });
}

export function openWindow(door: Door, files: WindowFiles): BrowserWindow {
  const window = new BrowserWindow({
    width: 1440,
    height: 900,
    minWidth: 1100,
    minHeight: 700,
    title: 'Spurledger',
    webPreferences: { preload: files.preload, contextIsolation: true, sandbox: true, nodeIntegration: false },
  });
  const contents = window.webContents;
  contents.setWindowOpenHandler(() => ({ action: 'deny' }));
  contents.on('will-navigate', (event) => event.preventDefault());
  const stop = door.listen((name, event) => {
    const message: ToPage = { kind: 'event', name, event };
    if (!contents.isDestroyed()) contents.send(ELECTRON_CHANNEL, message);
  });
  window.on('closed', stop);
  void window.loadURL(files.page);
  return window;
}

/** Everything Electron-specific, in order. */
export async function runElectron(door: Door, files: WindowFiles, close: () => Promise<void>): Promise<void> {
  await app.whenReady();
  session.defaultSession.setPermissionRequestHandler((_contents, _permission, answer) => answer(false));
  session.defaultSession.webRequest.onHeadersReceived((details, answer) =>
    answer({ responseHeaders: { ...details.responseHeaders, 'content-security-policy': [CONTENT_POLICY] } }),
  );
  answerCalls(door, files.page);
  Menu.setApplicationMenu(
    Menu.buildFromTemplate([
      ...(process.platform === 'darwin' ? [{ role: 'appMenu' as const }] : []),
      { role: 'editMenu' },
      {
        label: 'View',
        submenu: [{ role: 'zoomIn' }, { role: 'zoomOut' }, { role: 'resetZoom' }, { role: 'togglefullscreen' }],
      },
      { role: 'windowMenu' },
    ]),
  );
  openWindow(door, files);
  app.on('activate', () => {
    if (BrowserWindow.getAllWindows().length === 0) openWindow(door, files);
  });
  app.on('window-all-closed', () => {
    if (process.platform !== 'darwin') app.quit();
  });
  app.on('will-quit', () => void close());
}
