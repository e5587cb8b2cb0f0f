import { request } from 'node:http';
import { connect } from 'node:net';
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { expect, test } from 'vitest';
import { WebSocket } from 'ws';
import type { Api, Events } from '../../../src-main/api/contract.ts';
import { EventHub, openDoor } from '../../../src-main/api/door.ts';
import { startLoopback } from '../../../src-main/hosts/loopback/start-loopback.ts';
import { always, atEnd, connectPage, openPage, pageFolder, startLoopbackHost } from '../carriers.ts';
import { STUB } from '../stub-api.ts';

const host = () => startLoopbackHost(always(openDoor(STUB, new EventHub())));

/** A request with headers that fetch would not let through. */
function ask(
  url: string,
  options: { path?: string; method?: string; headers?: Record<string, string> },
): Promise<{ status: number; headers: Record<string, unknown>; text: string }> {
  const { hostname, port, pathname, search } = new URL(url);
  return new Promise((resolve, reject) => {
    const sent = request({ hostname, port, path: pathname + search, ...options }, (answer) => {
      let text = '';
      answer.setEncoding('utf8').on('data', (chunk: string) => (text += chunk));
      answer.on('end', () => resolve({ status: answer.statusCode!, headers: answer.headers, text }));
    });
    sent.on('error', reject).end();
  });
}

/** The status that an upgrade was refused with, or "open". */
function upgrade(url: string, headers: Record<string, string>): Promise<number | 'open'> {
  return new Promise((resolve, reject) => {
    const socket = new WebSocket(url, { headers });
    socket.on('open', () => {
      socket.terminate();
      resolve('open');
    });
    socket.on('unexpected-response', (_request, answer) => {
      answer.resume();
      resolve(answer.statusCode!);
    });
    socket.on('error', reject);
  });
}

test('the opening code becomes a cookie that scripts and other sites cannot use, and opens nothing a second time', async () => {
  const { url } = await host();
  const first = await fetch(url, { redirect: 'manual' });
  expect(first.status).toBe(303);
  expect(first.headers.get('location')).toBe('/');
  expect(first.headers.get('set-cookie')).toMatch(
    /^spurledger-key-\d+=[0-9a-f]{64}; HttpOnly; SameSite=Strict; Path=\/$/,
  );
  const second = await fetch(url, { redirect: 'manual' });
  expect(second.status).toBe(403);
  expect(second.headers.get('set-cookie')).toBeNull();
  expect((await fetch(`${new URL(url).origin}/?open=`, { redirect: 'manual' })).status).toBe(403);
});

test('the page is served with its cookie alone, never stored, under a strict content policy and to no other site', async () => {
  const { url } = await host();
  const { cookie, origin } = await openPage(url);
  const page = await ask(origin, { headers: { cookie } });
  expect(page.status).toBe(200);
  expect(page.text).toBe('<p>page</p>');
  expect(page.headers['cache-control']).toBe('no-store');
  expect(page.headers['access-control-allow-origin']).toBeUndefined();
  const policy = String(page.headers['content-security-policy']);
  expect(policy).toContain("default-src 'none'");
  expect(policy).not.toContain('unsafe-eval');
  expect(/script-src ([^;]*)/.exec(policy)![1]).toBe("'self'");
  expect((await ask(origin, {})).status).toBe(403);
  expect((await ask(origin, { headers: { cookie: `${cookie.slice(0, -1)}x` } })).status).toBe(403);
  expect((await ask(origin, { method: 'POST', headers: { cookie } })).status).toBe(405);
});

test('another Host, as a rebound name would send, is refused even with the cookie', async () => {
  const { url } = await host();
  const { cookie, address } = await openPage(url);
  for (const name of ['evil.example', `localhost:${address.port}`, `127.0.0.1`, `evil.example:${address.port}`]) {
    expect((await ask(url, { path: '/', headers: { cookie, host: name } })).status, name).toBe(403);
    const socket = { cookie, origin: address.origin, host: name };
    expect(await upgrade(`ws://${address.host}/door`, socket), name).toBe(403);
  }
});

test('the socket opens for its own page only: cookie, Origin and path must all be right', async () => {
  const { url } = await host();
  const { cookie, address, origin } = await openPage(url);
  const door = `ws://${address.host}/door`;
  expect(await upgrade(door, { cookie, origin })).toBe('open');
  expect(await upgrade(door, { origin })).toBe(403);
  expect(await upgrade(door, { cookie })).toBe(403);
  expect(await upgrade(door, { cookie, origin: 'http://evil.example' })).toBe(403);
  expect(await upgrade(door, { cookie, origin: 'null' })).toBe(403);
  expect(await upgrade(door, { cookie, origin: `https://${address.host}` })).toBe(403);
  expect(await upgrade(`ws://${address.host}/`, { cookie, origin })).toBe(403);
});

test('only files of the page are served, however the path is written', async () => {
  const folder = pageFolder();
  const page = join(folder, 'page');
  mkdirSync(page);
  writeFileSync(join(page, 'index.html'), 'page');
  writeFileSync(join(folder, 'secret.txt'), 'secret');
  writeFileSync(join(folder, 'secret.html'), 'secret');
  // a neighbour whose name begins like the page's folder
  mkdirSync(join(folder, 'page-notes'));
  writeFileSync(join(folder, 'page-notes', 'secret.html'), 'secret');
  const loopback = await startLoopback({ doors: always(openDoor(STUB, new EventHub())), pageFolder: page });
  atEnd(() => loopback.close());
  const { cookie, origin } = await openPage(loopback.url);
  for (const path of [
    '/../secret.html',
    '/%2e%2e/secret.html',
    '/%2e%2e%2fsecret.html',
    '/..%5csecret.html',
    '/../page-notes/secret.html',
    '/%2e%2e%2fpage-notes%2fsecret.html',
    '//secret.html',
    '/index.html%00.txt',
    '/%',
    '/assets',
    `/${encodeURIComponent(join(dirname(page), 'secret.html'))}`,
    'http://evil.example/',
  ]) {
    const answer = await ask(origin, { path, headers: { cookie } });
    expect(answer.text, path).not.toContain('secret');
    expect([400, 404], path).toContain(answer.status);
  }
  expect((await ask(origin, { path: '/index.html?x=1', headers: { cookie } })).text).toBe('page');
});

test('a request torn off half-way, or no request at all, harms nobody', async () => {
  const { url } = await host();
  const { cookie, address, origin } = await openPage(url);
  await new Promise<void>((resolve) => {
    const socket = connect(Number(address.port), '127.0.0.1', () => {
      socket.end('GET / HTTP/1.1\r\nHost: x\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n\r\n');
    });
    socket.on('close', () => resolve()).resume();
  });
  expect((await ask(origin, { headers: { cookie } })).status).toBe(200);
});

test('a message that is no call ends that connection and no other', async () => {
  const loopback = await host();
  const { client } = await connectPage(loopback);
  const { cookie, address, origin } = await openPage(loopback.openingUrl());
  for (const message of ['text', Buffer.from([0xc1]), Buffer.from([0x80]), Buffer.alloc(0)]) {
    const code = await new Promise<number>((resolve) => {
      const socket = new WebSocket(`ws://${address.host}/door`, { headers: { cookie, origin } });
      socket.on('open', () => socket.send(message));
      socket.on('close', resolve);
    });
    expect(code).toBe(1008);
  }
  expect(await client.call('captureRemove', { captureIds: [] })).toEqual({ ok: true, value: undefined });
});

test('a message above the limit ends the connection before it is held in memory', async () => {
  const loopback = await startLoopback({
    doors: always(openDoor(STUB, new EventHub())),
    pageFolder: pageFolder(),
    largestMessage: 1000,
  });
  atEnd(() => loopback.close());
  const { cookie, address, origin } = await openPage(loopback.url);
  const code = await new Promise<number>((resolve) => {
    const socket = new WebSocket(`ws://${address.host}/door`, { headers: { cookie, origin } });
    socket.on('open', () => socket.send(Buffer.alloc(1001)));
    socket.on('close', resolve);
  });
  expect(code).toBe(1009);
});

test('an answer that cannot travel is told instead of leaving the page waiting', async () => {
  const { client } = await connectPage(await host());
  expect(await client.call('sourceExport', {})).toMatchObject({ ok: false, problem: { kind: 'internal' } });
});

test('every window hears the pushes, each by an opening address of its own', async () => {
  const hub = new EventHub();
  const loopback = await startLoopbackHost(always(openDoor(STUB, hub)));
  const heard: Events['registerChanged'][] = [];
  for (let window = 0; window < 3; window++) {
    const { client } = await connectPage(loopback);
    client.on('registerChanged', (event) => heard.push(event));
  }
  expect(loopback.pages()).toBe(3);
  hub.emit('registerChanged', { subjects: ['source'] });
  await expect.poll(() => heard.length).toBe(3);
});

test('when the program ends, calls under way are answered in plain words and the page is told', async () => {
  const forever = { ...STUB, about: () => new Promise(() => {}) } as Api;
  const loopback = await startLoopback({ doors: always(openDoor(forever, new EventHub())), pageFolder: pageFolder() });
  const connection = await connectPage(loopback);
  const reach: boolean[] = [];
  connection.onReach((reached) => reach.push(reached));
  const waiting = connection.client.call('about', {});
  await loopback.close();
  expect(await waiting).toMatchObject({ ok: false, problem: { message: expect.stringContaining('ended') as string } });
  expect(await connection.client.call('about', {})).toMatchObject({ ok: false });
  expect(reach).toEqual([false]);
});
