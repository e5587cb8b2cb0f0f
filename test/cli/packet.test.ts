import { generateKeyPairSync } from 'node:crypto';
import { appendFileSync, existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { comb, smallCapture } from '../api/small-capture.ts';
import { folderWith, run } from './in-process.ts';

const SOURCES = 'designator,kind,nominal_hz\n=U1,converter,131000\n';
const json = (text: string) => JSON.parse(text) as Record<string, unknown>;

async function withRegister() {
  const folder = folderWith({
    'one.csv': smallCapture({ seed: 1, points: 1500, lines: comb(131_000, 20, 1500) }),
    '=two<b>.csv': smallCapture({ seed: 2, points: 1500, lines: comb(131_000, 14, 1500) }),
    'sources.csv': SOURCES,
  });
  const made = await run(
    folder,
    'triage',
    'one.csv',
    '=two<b>.csv',
    '--sources',
    'sources.csv',
    '--register',
    'r.spurledger',
    '--json',
  );
  expect(made.status, made.err).toBe(0);
  return folder;
}

test('packet writes a folder, verify finds it whole, and each prints its document', async () => {
  const folder = await withRegister();
  const packet = await run(folder, 'packet', '--register', 'r.spurledger', '--out', 'out', '--json');
  expect(packet.status, packet.err).toBe(0);
  const document = json(packet.out) as { files: { path: string; sha256: string }[] };
  expect(document).toMatchObject({
    schema: 'spurledger.packet/1',
    folder: 'out',
    manifest_sha256: expect.stringMatching(/^[0-9a-f]{64}$/) as string,
  });
  expect(document.files.map(({ path }) => path)).toEqual(
    expect.arrayContaining(['packet.json', 'packet.pdf', 'packet.html', 'tables/spurs.csv', 'traces/001-1.csv']),
  );
  expect(packet.err).toContain('draft');
  const verified = await run(folder, 'verify', 'out', '--json');
  expect(verified.status, verified.err).toBe(0);
  expect(json(verified.out)).toMatchObject({
    schema: 'spurledger.verify/1',
    intact: true,
    reproduces: true,
    problems: [],
  });
  expect((await run(folder, 'verify', 'out')).out).toContain('out: intact, all results come out again');
});

test('a folder that is there is refused with status 3 and left as it was; half a packet is never left', async () => {
  const folder = await withRegister();
  mkdirSync(join(folder, 'out'));
  writeFileSync(join(folder, 'out', 'mine.txt'), 'mine');
  const packet = await run(folder, 'packet', '--register', 'r.spurledger', '--out', 'out', '--json');
  expect(packet).toMatchObject({ status: 3, out: '' });
  expect(packet.err).toContain('something of that name');
  expect(readdirSync(join(folder, 'out'))).toEqual(['mine.txt']);
  expect(readdirSync(folder).filter((name) => name.includes('making'))).toEqual([]);
  const nowhere = await run(folder, 'packet', '--register', 'r.spurledger', '--out', 'no/such/folder');
  expect(nowhere.status).toBe(3);
  expect(existsSync(join(folder, 'no'))).toBe(false);
});

test('no register, no packet: status 3; a wrong call: status 2', async () => {
  const folder = folderWith();
  expect((await run(folder, 'packet', '--register', 'r', '--out', 'o')).status).toBe(3);
  expect((await run(folder, 'packet', '--register', 'r')).status).toBe(2);
  expect((await run(folder, 'verify')).status).toBe(2);
  const none = await run(folder, 'verify', 'nothing', '--json');
  expect(none.status).toBe(3);
  expect(json(none.out)).toMatchObject({ intact: false, reproduces: false });
});

test('an altered packet ends in status 3 with its file named; a signed one is good by its key alone', async () => {
  const folder = await withRegister();
  const { privateKey, publicKey } = generateKeyPairSync('ed25519');
  writeFileSync(join(folder, 'k.pem'), privateKey.export({ type: 'pkcs8', format: 'pem' }));
  writeFileSync(join(folder, 'k.pub'), publicKey.export({ type: 'spki', format: 'pem' }));
  writeFileSync(
    join(folder, 'other.pub'),
    generateKeyPairSync('ed25519').publicKey.export({ type: 'spki', format: 'pem' }),
  );
  const call = ['packet', '--register', 'r.spurledger', '--out', 'out', '--key'];
  const wrong = await run(folder, ...call, 'k.pub');
  expect(wrong.status).toBe(3);
  expect(wrong.err).toContain('Ed25519 private key');
  expect((await run(folder, ...call, 'k.pem')).status).toBe(0);
  expect((await run(folder, 'verify', 'out', '--public-key', 'k.pub')).status).toBe(0);
  expect((await run(folder, 'verify', 'out', '--public-key', 'other.pub')).status).toBe(3);
  appendFileSync(join(folder, 'out', 'README.txt'), ' ');
  const altered = await run(folder, 'verify', 'out', '--json');
  expect(altered.status).toBe(3);
  expect(json(altered.out)).toMatchObject({ intact: false, problems: [{ path: 'README.txt' }] });
});

test('names with markup and formulas are harmless in page and tables, and whole in the contents', async () => {
  const folder = await withRegister();
  await run(folder, 'packet', '--register', 'r.spurledger', '--out', 'out');
  const text = (path: string) => readFileSync(join(folder, 'out', path), 'utf8');
  expect(text('packet.html')).toContain('=two&lt;b&gt;.csv');
  expect(text('packet.html')).not.toContain('<b>');
  expect(text('tables/captures.csv')).toMatch(/^2,'=two<b>\.csv,/m);
  expect(text('tables/sources.csv')).toMatch(/^A,'=U1,/m);
  expect(text('packet.json')).toContain('"file": "=two<b>.csv"');
  expect(readdirSync(join(folder, 'out', 'captures'))).toEqual(['001-one.csv', '002-two-b-.csv']);
});
