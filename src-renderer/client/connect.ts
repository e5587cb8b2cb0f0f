import { Packr } from 'msgpackr';
import type { Answer, Client, EventName, Events } from '../../src-main/api/contract.ts';
import { PACKING, SOCKET_PATH, type ToPage } from '../../src-main/api/wire.ts';

/** What the Electron preload puts into the page. */
export interface Bridge {
  call(name: string, argument: unknown): Promise<unknown>;
  listen(listener: (message: ToPage) => void): () => void;
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
  onReach(listener: (reached: boolean) => void): () => void;
}

type AnyListener = (event: never) => void;

class Listeners {
  private readonly byName = new Map<EventName, Set<AnyListener>>();
  on<E extends EventName>(name: E, listener: (event: Events[E]) => void): () => void {
    const set = this.byName.get(name) ?? new Set();
    this.byName.set(name, set);
    set.add(listener as AnyListener);
    return () => set.delete(listener as AnyListener);
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
    ? connectSocket(`ws://${location.host}${SOCKET_PATH}`)
    : Promise.resolve(connectBridge(bridge));
}

export function connectBridge(bridge: Bridge): Connection {
  const listeners = new Listeners();
  bridge.listen((message) => listeners.push(message));
  const client: Client = {
    call: (name, argument) => bridge.call(name, argument) as never,
    on: (name, listener) => listeners.on(name, listener),
  };
  return { client, onReach: () => () => undefined };
}

const RETRY_MS = 1500;

/** Calls and pushes over one WebSocket; it comes back by itself, and calls in flight then fail in plain words. */
export async function connectSocket(url: string): Promise<Connection> {
  const packr = new Packr(PACKING);
  const listeners = new Listeners();
  const waiting = new Map<number, (answer: Answer<never>) => void>();
  const reach = new Set<(reached: boolean) => void>();
  let socket: WebSocket | null = null;
  let next = 0;

  const failAll = (): void => {
    for (const settle of waiting.values())
      settle({
        ok: false,
        problem: {
          kind: 'internal',
          message: 'The program behind this page has ended. What was kept is kept.',
          problem: null,
        },
      });
    waiting.clear();
  };
  const open = (): Promise<void> =>
    new Promise((resolve) => {
      const fresh = new WebSocket(url);
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
          const id = next++;
          waiting.set(id, resolve as (answer: Answer<never>) => void);
          if (socket === null) failAll();
          else socket.send(packr.pack({ kind: 'call', id, name, argument }));
        }),
      on: (name, listener) => listeners.on(name, listener),
    },
    onReach(listener) {
      reach.add(listener);
      return () => reach.delete(listener);
    },
  };
}
