import { randomBytes, timingSafeEqual } from 'node:crypto';
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { Packr } from 'msgpackr';
import { WebSocketServer, type WebSocket } from 'ws';
import type { Doors, WindowDoor } from '../../api/door.ts';
import { PACKING, REGISTER_IN_ADDRESS, SOCKET_PATH, type ToHost, type ToPage } from '../../api/wire.ts';
import { CONTENT_POLICY, pageFile } from '../page-files.ts';

export interface Loopback {
  /** Address with a code that opens the page once. */
  readonly url: string;
  /** A further address with a code of its own, for another window. */
  openingUrl(): string;
  /** Number of pages connected now. */
  pages(): number;
  close(): Promise<void>;
}

/**
 * Serves the built page on 127.0.0.1 and carries the calls of each window over a WebSocket of its own, to a door of its own.
 *
 * Other programs and web pages on the machine are kept out: the port is random, the page opens once by a code that becomes an
 * HttpOnly SameSite=Strict cookie, and Host and Origin must be this very address on every request and on the upgrade.
 */
export async function startLoopback(options: {
  doors: Doors;
  pageFolder: string;
  /** In bytes; defaults to a capture of ten million rows and some air. Larger messages end the connection. */
  largestMessage?: number;
}): Promise<Loopback> {
  const { doors, pageFolder, largestMessage = 600 * 1024 * 1024 } = options;
  const codes = new Set<string>();
  const key = randomBytes(32).toString('hex');
  let authority = '';
  // cookies of one address are shared by all its ports, so each running program names its own
  let cookieName = '';

  const isOurs = (request: IncomingMessage): boolean => request.headers.host === authority;
  const hasKey = (request: IncomingMessage): boolean => {
    const match = new RegExp(`(?:^|;\\s*)${cookieName}=([0-9a-f]{64})(?:;|$)`).exec(request.headers.cookie ?? '');
    return match !== null && timingSafeEqual(Buffer.from(match[1]!), Buffer.from(key));
  };

  /** Null for what is no path at all: "//" and whole addresses of other hosts. */
  const addressOf = (request: IncomingMessage): URL | null => {
    const address = URL.parse(request.url ?? '/', `http://${authority}`);
    return address?.host === authority ? address : null;
  };

  const server = createServer((request, response) => {
    answerRequest(request, response).catch(() => {
      if (!response.headersSent) response.writeHead(500);
      response.end();
    });
  });

  async function answerRequest(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const plain = (status: number, text: string): void => {
      response
        .writeHead(status, { 'content-type': 'text/plain; charset=utf-8', 'cache-control': 'no-store' })
        .end(text);
    };
    if (!isOurs(request)) return plain(403, 'This address serves one program on this machine.');
    if (request.method !== 'GET' && request.method !== 'HEAD') return plain(405, 'Only GET.');
    const address = addressOf(request);
    if (address === null) return plain(400, 'That is no address of a page.');
    const code = address.searchParams.get('open');
    if (code !== null) {
      if (!codes.delete(code))
        return plain(403, 'This opening address was used already. Start the program again for a new one.');
      response
        .writeHead(303, {
          location: '/',
          'set-cookie': `${cookieName}=${key}; HttpOnly; SameSite=Strict; Path=/`,
          'cache-control': 'no-store',
        })
        .end();
      return;
    }
    if (!hasKey(request)) return plain(403, 'Open the page by the address that the program printed.');
    const file = await pageFile(pageFolder, address.pathname);
    if (file === null) return plain(404, 'There is no such file.');
    response
      .writeHead(200, {
        'content-type': file.type,
        'cache-control': 'no-store',
        'content-security-policy': CONTENT_POLICY,
        'x-content-type-options': 'nosniff',
        'referrer-policy': 'no-referrer',
        'cross-origin-opener-policy': 'same-origin',
      })
      .end(request.method === 'HEAD' ? undefined : file.bytes);
  }

  const sockets = new WebSocketServer({ noServer: true, maxPayload: largestMessage, perMessageDeflate: false });
  server.on('upgrade', (request, socket, head) => {
    socket.on('error', () => socket.destroy());
    const refuse = (status: string): void => void socket.end(`HTTP/1.1 ${status}\r\nconnection: close\r\n\r\n`);
    const address = addressOf(request);
    if (
      !isOurs(request) ||
      request.headers.origin !== `http://${authority}` ||
      address?.pathname !== SOCKET_PATH ||
      !hasKey(request)
    )
      return refuse('403 Forbidden');
    let door: WindowDoor;
    try {
      door = doors.open(address.searchParams.get(REGISTER_IN_ADDRESS));
    } catch {
      return refuse('503 Service Unavailable'); // no register can be opened now; the page asks again by itself
    }
    socket.once('close', () => door.shut());
    sockets.handleUpgrade(request, socket, head, (client) => carryCalls(client, door));
  });

  await listen(server);
  const { port } = server.address() as AddressInfo;
  authority = `127.0.0.1:${port}`;
  cookieName = `spurledger-key-${port}`;
  const openingUrl = (): string => {
    const code = randomBytes(24).toString('base64url');
    codes.add(code);
    return `http://${authority}/?open=${code}`;
  };
  return {
    url: openingUrl(),
    openingUrl,
    pages: () => sockets.clients.size,
    async close() {
      for (const client of sockets.clients) client.terminate();
      sockets.close();
      server.closeAllConnections();
      await new Promise<void>((resolve) => server.close(() => resolve()));
    },
  };
}

function listen(server: Server): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen(0, '127.0.0.1', resolve);
  });
}

function carryCalls(client: WebSocket, door: WindowDoor): void {
  const packr = new Packr(PACKING);
  const send = (message: ToPage): void => {
    if (client.readyState === client.OPEN) client.send(packr.pack(message));
  };
  const stop = door.listen((name, event) => send({ kind: 'event', name, event }));
  client.on('close', stop);
  client.on('error', () => client.terminate());
  client.on('message', (data: Buffer, isBinary) => {
    let message: ToHost | null = null;
    try {
      if (isBinary) message = packr.unpack(data) as ToHost;
    } catch {
      message = null; // not one of ours
    }
    if (message === null || typeof message !== 'object' || message.kind !== 'call' || typeof message.id !== 'number') {
      client.close(1008, 'not a call');
      return;
    }
    const { id, name, argument } = message;
    void door.call(name, argument).then((answer) => {
      try {
        send({ kind: 'answer', id, answer });
      } catch (error) {
        const message = `The answer of “${name}” cannot travel: ${error instanceof Error ? error.message : String(error)}`;
        send({ kind: 'answer', id, answer: { ok: false, problem: { kind: 'internal', message, problem: null } } });
      }
    });
  });
}
