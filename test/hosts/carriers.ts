import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach } from 'vitest';
import { WebSocket as NodeSocket } from 'ws';
import type { Client } from '../../src-main/api/contract.ts';
import type { Door, Doors } from '../../src-main/api/door.ts';
import { REGISTER_IN_ADDRESS, SOCKET_PATH } from '../../src-main/api/wire.ts';
import { startLoopback, type Loopback } from '../../src-main/hosts/loopback/start-loopback.ts';
import { connectBridge, connectSocket, type Bridge, type Connection } from '../../src-renderer/client/connect.ts';
import * as electron from './fake-electron.ts';

const endings: (() => Promise<void> | void)[] = [];

/** Ends what a test started, the last thing first. */
export function atEnd(ending: () => Promise<void> | void): void {
  endings.push(ending);
}

afterEach(async () => {
  for (const ending of endings.splice(0).reverse()) await ending();
});

/** A folder with a page of one line and a secret beside it. */
export function pageFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'spurledger-page-'));
  atEnd(() => rmSync(folder, { recursive: true, force: true }));
  writeFileSync(join(folder, 'index.html'), '<p>page</p>');
  return folder;
}

/** Opens the page as a browser would: the code of the address becomes the cookie. */
export async function openPage(url: string): Promise<{ address: URL; cookie: string; origin: string }> {
  const answer = await fetch(url, { redirect: 'manual' });
  const address = new URL(url);
  return { address, cookie: (answer.headers.get('set-cookie') ?? '').split(';')[0]!, origin: address.origin };
}

/** One door for every window, whatever register its address carries. */
export function always(door: Door): Doors {
  return { open: () => ({ ...door, register: () => '', shut: () => undefined }), keyOf: () => null };
}

/** The page's own client over a socket that sends the headers a browser would. */
export async function connectPage(loopback: Loopback, registerKey?: string): Promise<Connection & { leave(): void }> {
  const { address, cookie, origin } = await openPage(loopback.openingUrl());
  let isOver = false;
  const sockets: NodeSocket[] = [];
  const socketAddress = () =>
    `ws://${address.host}${SOCKET_PATH}${registerKey === undefined ? '' : `?${REGISTER_IN_ADDRESS}=${registerKey}`}`;
  const connection = await connectSocket(socketAddress, (url) => {
    const socket = new NodeSocket(url, { headers: { cookie }, origin });
    // the client comes back for ever; the test does not
    if (isOver) socket.terminate();
    sockets.push(socket);
    socket.on('error', () => undefined);
    return socket as unknown as WebSocket;
  });
  const leave = () => {
    isOver = true;
    for (const socket of sockets) {
      socket.onclose = null;
      socket.terminate();
    }
  };
  atEnd(leave);
  return { ...connection, leave };
}

export async function startLoopbackHost(doors: Doors): Promise<Loopback> {
  const loopback = await startLoopback({ doors, pageFolder: pageFolder() });
  atEnd(() => loopback.close());
  return loopback;
}

let bridge: Bridge | null = null;

/** The Electron host and its real preload on the faked ipc. */
async function electronPage(door: Door): Promise<Client> {
  const { runElectron } = await import('../../src-main/hosts/electron/open-window.ts');
  const files = { preload: 'preload.cjs', pageFolder: pageFolder(), kept: join(pageFolder(), 'windows.json') };
  await runElectron(always(door), files, () => Promise.resolve());
  const window = electron.BrowserWindow.all.at(-1)!;
  atEnd(() => window.close());
  if (bridge === null) {
    await import('../../src-main/preload.ts');
    bridge = electron.exposed['spurledgerBridge'] as Bridge;
  }
  return connectBridge(bridge).client;
}

export interface Carrier {
  readonly name: string;
  /** A page's client of this door. */
  readonly carry: (door: Door) => Promise<Client>;
}

/** Every way in which calls travel. */
export const CARRIERS: readonly Carrier[] = [
  {
    name: 'direct',
    carry: (door) =>
      Promise.resolve({
        call: (name, argument) => door.call(name, argument) as never,
        on: (wanted, listener) =>
          door.listen((name, event) => {
            if ((name as string) === wanted) listener(event as never);
          }),
      }),
  },
  { name: 'loopback', carry: async (door) => (await connectPage(await startLoopbackHost(always(door)))).client },
  { name: 'electron (faked ipc)', carry: electronPage },
];
