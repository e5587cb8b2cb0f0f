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

export class WebContents extends Emitter {
  readonly mainFrame: Frame = { url: '' };
  openHandler: (() => { action: string }) | null = null;
  setWindowOpenHandler(handler: () => { action: string }): void {
    this.openHandler = handler;
  }
  isDestroyed(): boolean {
    return false;
  }
  send(channel: string, message: unknown): void {
    ipcRenderer.emit(channel, {}, structuredClone(message));
  }
}

export class BrowserWindow extends Emitter {
  static readonly all: BrowserWindow[] = [];
  static getAllWindows(): BrowserWindow[] {
    return BrowserWindow.all;
  }
  readonly webContents = new WebContents();
  readonly options: { webPreferences: Record<string, unknown> };
  constructor(options: { webPreferences: Record<string, unknown> }) {
    super();
    this.options = options;
    BrowserWindow.all.push(this);
  }
  loadURL(url: string): Promise<void> {
    this.webContents.mainFrame.url = url;
    return Promise.resolve();
  }
  close(): void {
    BrowserWindow.all.splice(BrowserWindow.all.indexOf(this), 1);
    this.emit('closed');
    if (BrowserWindow.all.length === 0) app.emit('window-all-closed');
  }
}

const handlers = new Map<string, Handler>();
export const ipcMain = {
  handle: (channel: string, handler: Handler): void => void handlers.set(channel, handler),
};

/** Asks as a given frame; the page itself asks as the main frame of the newest window. */
export async function invokeAs(event: InvokeEvent, channel: string, ...args: unknown[]): Promise<unknown> {
  const handler = handlers.get(channel);
  if (handler === undefined) throw new Error(`No handler registered for '${channel}'`);
  return structuredClone(await handler(event, ...structuredClone(args)));
}

class IpcRenderer extends Emitter {
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
    this.emit('will-quit');
  }
}
export const app = new App();

export const Menu = { buildFromTemplate: (template: unknown) => template, setApplicationMenu: (): void => undefined };
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
