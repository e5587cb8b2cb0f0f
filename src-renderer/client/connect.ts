import { Packr } from 'msgpackr';
import type { Answer, Client, EventName, Events } from '../../src-main/api/contract.ts';
import { PACKING, REGISTER_IN_ADDRESS, SOCKET_PATH, type ToHost, type ToPage } from '../../src-main/api/wire.ts';

/** What the Electron preload puts into the page. */
export interface Bridge {
  call(name: string, argument: unknown): Promise<unknown>;
  listen(listener: (message: ToPage) => void): () => void;
  /** Says which commands can be used now, for a menu outside the page. */
  tellUsable(ids: readonly string[]): void;
}

declare global {
  interface Window {
    readonly spurledgerBridge?: Bridge;
  }
}

/** Whether the host is reached; the page shows a plain line while it is not. */
export interface Connection {
  readonly client: Client;
  /** Called with false when the host went away and true when it is back. */
  readonly onReach: (listener: (reached: boolean) => void) => () => void;
  /** The menu outside the page, where the host has one. */
  readonly menu: OuterMenu | null;
}

export interface OuterMenu {
  onCommand(listener: (id: string) => void): () => void;
  tellUsable(ids: readonly string[]): void;
}

type AnyListener = (event: never) => void;

class Listeners {
  private readonly byName = new Map<EventName, Set<AnyListener>>();
  on<E extends EventName>(name: E, listener: (event: Events[E]) => void): () => void {
    const set = this.byName.get(name) ?? new Set();
    this.byName.set(name, set);
    set.add(listener);
    return () => set.delete(listener);
  }
  push(message: ToPage): void {
    if (message.kind !== 'event') return;
    for (const listener of this.byName.get(message.name) ?? []) listener(message.event as never);
  }
}

/** Connects to whichever host serves this page. */
export function connect(): Promise<Connection> {
  const bridge = window.spurledgerBridge;
  return bridge === undefined
    ? connectSocket(() => {
        // read anew each time: the window may have moved to another register since
        const register = new URLSearchParams(location.search).get(REGISTER_IN_ADDRESS);
        const query =
          register === null ? '' : `?${new URLSearchParams({ [REGISTER_IN_ADDRESS]: register }).toString()}`;
        return `ws://${location.host}${SOCKET_PATH}${query}`;
      })
    : Promise.resolve(connectBridge(bridge));
}

function lost(message: string): Answer<never> {
  return { ok: false, problem: { kind: 'internal', message, problem: null } };
}

export function connectBridge(bridge: Bridge): Connection {
  const listeners = new Listeners();
  bridge.listen((message) => listeners.push(message));
  const client: Client = {
    // the host refuses by rejecting only a sender that is not its own page
    call: async (name, argument) => {
      try {
        return (await bridge.call(name, argument)) as never;
      } catch (error) {
        return lost(error instanceof Error ? error.message : String(error));
      }
    },
    on: (name, listener) => listeners.on(name, listener),
  };
  const menu: OuterMenu = {
    onCommand: (listener) => bridge.listen((message) => message.kind === 'command' && listener(message.id)),
    tellUsable: (ids) => bridge.tellUsable(ids),
  };
  return { client, onReach: () => () => undefined, menu };
}

const RETRY_MS = 1500;

const GONE = 'The program behind this page has ended. What was kept is kept.';

/**
 * Calls and pushes over one WebSocket; it comes back by itself, and calls in flight then fail in plain words.
 * `address` is asked at each try; `openSocket` is for hosts without a browser's cookies, such as tests.
 */
export async function connectSocket(
  address: () => string,
  openSocket: (url: string) => WebSocket = (url) => new WebSocket(url),
): Promise<Connection> {
  const packr = new Packr(PACKING);
  const listeners = new Listeners();
  const waiting = new Map<number, (answer: Answer<never>) => void>();
  const reach = new Set<(reached: boolean) => void>();
  let socket: WebSocket | null = null;
  let next = 0;

  const failAll = (): void => {
    for (const settle of waiting.values()) settle(lost(GONE));
    waiting.clear();
  };
  const open = (): Promise<void> =>
    new Promise((resolve) => {
      const fresh = openSocket(address());
      fresh.binaryType = 'arraybuffer';
      fresh.onopen = () => {
        socket = fresh;
        for (const listener of reach) listener(true);
        resolve();
      };
      fresh.onmessage = (event: MessageEvent<ArrayBuffer>) => {
        const message = packr.unpack(new Uint8Array(event.data)) as ToPage;
        if (message.kind === 'answer') {
          waiting.get(message.id)?.(message.answer as Answer<never>);
          waiting.delete(message.id);
        } else listeners.push(message);
      };
      fresh.onclose = () => {
        if (socket === fresh) {
          socket = null;
          failAll();
          for (const listener of reach) listener(false);
        }
        setTimeout(() => void open().then(resolve), RETRY_MS);
      };
    });
  await open();

  return {
    client: {
      call: (name, argument) =>
        new Promise((resolve) => {
          if (socket === null) return resolve(lost(GONE));
          const id = next++;
          waiting.set(id, resolve);
          socket.send(packr.pack({ kind: 'call', id, name, argument } satisfies ToHost) as Uint8Array<ArrayBuffer>);
        }),
      on: (name, listener) => listeners.on(name, listener),
    },
    onReach(listener) {
      reach.add(listener);
      return () => reach.delete(listener);
    },
    menu: null,
  };
}
