import { app, BrowserWindow, ipcMain, Menu, protocol, screen, session, type IpcMainInvokeEvent } from 'electron';
import type { Doors, WindowDoor } from '../../api/door.ts';
import { ELECTRON_CHANNEL, ELECTRON_USABLE, REGISTER_IN_ADDRESS, type ToPage } from '../../api/wire.ts';
import { CONTENT_POLICY, pageFile } from '../page-files.ts';
import { readWindows, writeWindows, type KeptWindow } from './kept-windows.ts';
import { menuTemplate } from './menu-template.ts';
import { besideOf, boundsWithin, SMALLEST, type Bounds } from './window-bounds.ts';

export interface WindowFiles {
  /** Path of the built preload script. */
  readonly preload: string;
  /** Folder of the built page. */
  readonly pageFolder: string;
  /** File in which the windows are kept from one start to the next. */
  readonly kept: string;
}

const SCHEME = 'spurledger';
/** The page's only address, but for the register it carries. A scheme of our own, because pages from file: may read other files. */
export const PAGE = `${SCHEME}://page/`;

interface OpenWindow {
  readonly window: BrowserWindow;
  readonly door: WindowDoor;
  /** Commands that its page can carry out now. */
  usable: ReadonlySet<string>;
}

/** True for our own page, whatever register its address carries. */
function isPage(url: string | undefined): boolean {
  return url?.split(/[?#]/)[0] === PAGE;
}

/** Only the main frame of one of our own windows, showing our own page, is answered. */
export function isOurSender(event: Pick<IpcMainInvokeEvent, 'senderFrame' | 'sender'>): boolean {
  const frame = event.senderFrame;
  return frame !== null && frame === event.sender.mainFrame && isPage(frame.url);
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

/** The windows of the program, each with a door of its own, by the id of its web contents. */
class Windows {
  readonly #doors: Doors;
  readonly #files: WindowFiles;
  readonly #open = new Map<number, OpenWindow>();
  #isQuitting = false;

  constructor(doors: Doors, files: WindowFiles) {
    this.#doors = doors;
    this.#files = files;
  }

  of(contentsId: number): OpenWindow | undefined {
    return this.#open.get(contentsId);
  }

  /** The windows as they were left, or one. */
  restore(): void {
    const left = readWindows(this.#files.kept);
    const keys = left.map(({ register }) => this.#doors.keyOf(register));
    left.forEach((kept, i) => keys[i] !== null && this.open(keys[i]!, kept.bounds, kept.isMaximized));
    // a window whose register is gone keeps at least its place
    if (this.#open.size === 0) this.open(null, left[0]?.bounds ?? null, left[0]?.isMaximized ?? false);
  }

  open(registerKey: string | null, bounds: Bounds | null = null, isMaximized = false): BrowserWindow {
    const door = this.#doors.open(registerKey);
    const primary = screen.getPrimaryDisplay().workArea;
    const window = new BrowserWindow({
      ...boundsWithin(bounds, [primary, ...screen.getAllDisplays().map(({ workArea }) => workArea)]),
      minWidth: SMALLEST.width,
      minHeight: SMALLEST.height,
      title: 'Spurledger',
      webPreferences: { preload: this.#files.preload, contextIsolation: true, sandbox: true, nodeIntegration: false },
    });
    if (isMaximized) window.maximize();
    const contents = window.webContents;
    const { id } = contents;
    this.#open.set(id, { window, door, usable: new Set() });
    this.#guard(window);
    const stop = door.listen((name, event) => {
      const message: ToPage = { kind: 'event', name, event };
      if (!contents.isDestroyed()) contents.send(ELECTRON_CHANNEL, message);
    });
    window.on('focus', () => this.drawMenu());
    // the last one closed is what the next start opens; when the program is quit, all of them
    window.on('close', () => {
      if (!this.#isQuitting)
        this.#keep(this.#open.size === 1 ? [id] : [...this.#open.keys()].filter((other) => other !== id));
    });
    window.on('closed', () => {
      stop();
      this.#open.delete(id);
      door.shut();
    });
    void window.loadURL(
      registerKey === null ? PAGE : `${PAGE}?${REGISTER_IN_ADDRESS}=${encodeURIComponent(registerKey)}`,
    );
    return window;
  }

  quitting(): void {
    this.#isQuitting = true;
    // where the last window was closed already, it said itself what the next start opens
    if (this.#open.size > 0) this.#keep([...this.#open.keys()]);
  }

  /** The menu of the window in front. */
  drawMenu(): void {
    const front = this.#front();
    Menu.setApplicationMenu(
      Menu.buildFromTemplate(
        menuTemplate({
          isMac: process.platform === 'darwin',
          usable: front?.usable ?? new Set(),
          choose: (id) => this.#choose(id),
        }),
      ),
    );
  }

  #front(): OpenWindow | undefined {
    const focused = BrowserWindow.getFocusedWindow();
    return focused === null ? [...this.#open.values()].at(-1) : this.#open.get(focused.webContents.id);
  }

  /** Sends a chosen command to the page in front. Some acts there (a dialog of files) ask for a gesture of the user: the choice is one. */
  #choose(id: string): void {
    const contents = this.#front()?.window.webContents;
    if (contents === undefined) return;
    const message: ToPage = { kind: 'command', id };
    void contents
      .executeJavaScript('0', true)
      .catch(() => undefined)
      .then(() => contents.send(ELECTRON_CHANNEL, message));
  }

  /** The page goes nowhere; a window it asks for is one of ours on a register, or none. */
  #guard(window: BrowserWindow): void {
    const contents = window.webContents;
    contents.setWindowOpenHandler(({ url }) => {
      const key = isPage(url) ? new URL(url).searchParams.get(REGISTER_IN_ADDRESS) : null;
      if (key !== null) this.open(key, besideOf(window.getBounds()));
      return { action: 'deny' };
    });
    contents.on('will-navigate', (event) => {
      if (!isPage(event.url)) event.preventDefault();
    });
    contents.on('will-attach-webview', (event) => event.preventDefault());
  }

  #keep(ids: readonly number[]): void {
    const kept = ids.flatMap((id): KeptWindow[] => {
      const one = this.#open.get(id);
      if (one === undefined) return [];
      const { window, door } = one;
      return [{ bounds: window.getNormalBounds(), isMaximized: window.isMaximized(), register: door.register() }];
    });
    writeWindows(this.#files.kept, kept);
  }
}

/** One ipc channel for all calls, each answered by the door of the window it came from; and one for what the page can do now. */
function answerPages(windows: Windows): void {
  ipcMain.handle(ELECTRON_CHANNEL, (event, name: unknown, argument: unknown) => {
    const own = windows.of(event.sender.id);
    if (own === undefined || !isOurSender(event)) throw new Error('This sender is not answered.');
    return own.door.call(name, argument);
  });
  ipcMain.on(ELECTRON_USABLE, (event, ids: unknown) => {
    const own = windows.of(event.sender.id);
    if (own === undefined || !isOurSender(event) || !Array.isArray(ids)) return;
    own.usable = new Set(ids.map(String));
    windows.drawMenu();
  });
}

/**
 * Everything Electron-specific, in order. Call it without awaiting it at the top of the entry: Electron is ready only after
 * the entry has been evaluated, and would wait for itself.
 */
export async function runElectron(doors: Doors, files: WindowFiles, close: () => Promise<void>): Promise<void> {
  protocol.registerSchemesAsPrivileged([
    { scheme: SCHEME, privileges: { standard: true, secure: true, supportFetchAPI: true } },
  ]);
  const windows = new Windows(doors, files);
  app.on('window-all-closed', () => {
    if (process.platform !== 'darwin') app.quit();
  });
  app.on('before-quit', () => windows.quitting());
  app.on('will-quit', () => void close());
  await app.whenReady();
  protocol.handle(SCHEME, (request) => answerPage(files.pageFolder, request.url));
  session.defaultSession.setPermissionRequestHandler((_contents, permission, answer) =>
    // a notice is copied by a button of our own page
    answer(permission === 'clipboard-sanitized-write'),
  );
  answerPages(windows);
  windows.drawMenu();
  windows.restore();
  app.on('activate', () => {
    if (BrowserWindow.getAllWindows().length === 0) windows.open(null);
  });
}
