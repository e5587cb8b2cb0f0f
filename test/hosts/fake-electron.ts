/**
 * Electron's ipc without Electron: what is sent is copied by the structured clone, as between processes, and refused calls reject.
 * Use it as `vi.mock('electron', () => import('./fake-electron.ts'))`.
 */
type Handler = (event: InvokeEvent, ...args: unknown[]) => unknown;
type Listener = (...args: unknown[]) => void;

export interface Frame {
  url: string;
}

interface InvokeEvent {
  readonly sender: WebContents;
  readonly senderFrame: Frame | null;
}

class Emitter {
  readonly #listeners = new Map<string, Set<Listener>>();
  on(name: string, listener: Listener): this {
    this.#listeners.set(name, (this.#listeners.get(name) ?? new Set()).add(listener));
    return this;
  }
  off(name: string, listener: Listener): this {
    this.#listeners.get(name)?.delete(listener);
    return this;
  }
  emit(name: string, ...args: unknown[]): void {
    for (const listener of this.#listeners.get(name) ?? []) listener(...args);
  }
}

type OpenHandler = (details: { url: string }) => { action: string };

export class WebContents extends Emitter {
  static #next = 1;
  readonly id = WebContents.#next++;
  readonly mainFrame: Frame = { url: '' };
  /** Messages to this page, in order. */
  readonly sent: unknown[] = [];
  gestures = 0;
  openHandler: OpenHandler | null = null;
  setWindowOpenHandler(handler: OpenHandler): void {
    this.openHandler = handler;
  }
  isDestroyed(): boolean {
    return false;
  }
  executeJavaScript(_code: string, isGesture: boolean): Promise<unknown> {
    if (isGesture) this.gestures++;
    return Promise.resolve(0);
  }
  send(channel: string, message: unknown): void {
    this.sent.push(structuredClone(message));
    if (this === BrowserWindow.all.at(-1)?.webContents) ipcRenderer.emit(channel, {}, structuredClone(message));
  }
}

interface Bounds {
  x: number;
  y: number;
  width: number;
  height: number;
}

export class BrowserWindow extends Emitter {
  static readonly all: BrowserWindow[] = [];
  static getAllWindows(): BrowserWindow[] {
    return BrowserWindow.all;
  }
  /** The window in front; null where another program is. */
  static focused: BrowserWindow | null = null;
  static getFocusedWindow(): BrowserWindow | null {
    return BrowserWindow.focused;
  }
  readonly webContents = new WebContents();
  readonly options: Bounds & { webPreferences: Record<string, unknown> };
  isMax = false;
  constructor(options: Bounds & { webPreferences: Record<string, unknown> }) {
    super();
    this.options = options;
    BrowserWindow.all.push(this);
  }
  focus(): void {
    BrowserWindow.focused = this;
    this.emit('focus');
  }
  maximize(): void {
    this.isMax = true;
  }
  isMaximized(): boolean {
    return this.isMax;
  }
  getBounds(): Bounds {
    const { x, y, width, height } = this.options;
    return { x, y, width, height };
  }
  getNormalBounds(): Bounds {
    return this.getBounds();
  }
  loadURL(url: string): Promise<void> {
    this.webContents.mainFrame.url = url;
    return Promise.resolve();
  }
  close(): void {
    this.emit('close');
    if (BrowserWindow.focused === this) BrowserWindow.focused = null;
    BrowserWindow.all.splice(BrowserWindow.all.indexOf(this), 1);
    this.emit('closed');
    if (BrowserWindow.all.length === 0) app.emit('window-all-closed');
  }
}

export const screen = {
  workAreas: [{ x: 0, y: 25, width: 1920, height: 1055 }],
  getPrimaryDisplay: () => ({ workArea: screen.workAreas[0]! }),
  getAllDisplays: () => screen.workAreas.map((workArea) => ({ workArea })),
};

const handlers = new Map<string, Handler>();
const hearers = new Map<string, Handler>();
/** Tells something as a given frame, without an answer. */
export function sendAs(event: InvokeEvent, channel: string, ...args: unknown[]): void {
  hearers.get(channel)?.(event, ...structuredClone(args));
}
export const ipcMain = {
  on: (channel: string, hearer: Handler): void => void hearers.set(channel, hearer),
  handle: (channel: string, handler: Handler): void => void handlers.set(channel, handler),
};

/** Asks as a given frame; the page itself asks as the main frame of the newest window. */
export async function invokeAs(event: InvokeEvent, channel: string, ...args: unknown[]): Promise<unknown> {
  const handler = handlers.get(channel);
  if (handler === undefined) throw new Error(`No handler registered for '${channel}'`);
  return structuredClone(await handler(event, ...structuredClone(args)));
}

class IpcRenderer extends Emitter {
  send(channel: string, ...args: unknown[]): void {
    const { webContents } = BrowserWindow.all.at(-1)!;
    sendAs({ sender: webContents, senderFrame: webContents.mainFrame }, channel, ...args);
  }
  invoke(channel: string, ...args: unknown[]): Promise<unknown> {
    const { webContents } = BrowserWindow.all.at(-1)!;
    return invokeAs({ sender: webContents, senderFrame: webContents.mainFrame }, channel, ...args);
  }
}
export const ipcRenderer = new IpcRenderer();

export const exposed: Record<string, unknown> = {};
export const contextBridge = {
  exposeInMainWorld: (name: string, value: unknown): void => void (exposed[name] = value),
};

class App extends Emitter {
  quits = 0;
  whenReady(): Promise<void> {
    return Promise.resolve();
  }
  quit(): void {
    this.quits++;
    this.emit('before-quit');
    this.emit('will-quit');
  }
}
export const app = new App();

/** An item of the menu bar as it was last set. */
export interface MenuItem {
  readonly id?: string;
  readonly label?: string;
  readonly role?: string;
  readonly enabled?: boolean;
  readonly accelerator?: string;
  readonly registerAccelerator?: boolean;
  readonly submenu?: readonly MenuItem[];
  readonly click?: () => void;
}
export const Menu = {
  shown: [] as readonly MenuItem[],
  buildFromTemplate: (template: readonly MenuItem[]) => template,
  setApplicationMenu: (menu: readonly MenuItem[]): void => void (Menu.shown = menu),
  item: (id: string): MenuItem | undefined =>
    Menu.shown.flatMap(({ submenu }) => submenu ?? []).find((item) => item.id === id),
};
export const protocol = {
  schemes: [] as unknown[],
  handlers: new Map<string, (request: { url: string }) => Promise<Response>>(),
  registerSchemesAsPrivileged: (schemes: unknown[]): void => void protocol.schemes.push(...schemes),
  handle: (scheme: string, handler: (request: { url: string }) => Promise<Response>): void =>
    void protocol.handlers.set(scheme, handler),
};

type PermissionHandler = (contents: unknown, permission: string, answer: (allowed: boolean) => void) => void;
export const permissions: { handler: PermissionHandler | null } = { handler: null };
export const session = {
  defaultSession: {
    setPermissionRequestHandler: (handler: PermissionHandler): void => void (permissions.handler = handler),
  },
};
