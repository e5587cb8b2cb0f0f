import { createHash, generateKeyPairSync } from 'node:crypto';
import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { publicKeyOf } from '../../../src-main/api/packet/signature.ts';
import { checkSums, verifyPacket } from '../../../src-main/api/packet/verify-packet.ts';
import { MANIFEST, SIGNATURE } from '../../../src-main/report/packet/manifest.ts';
import { source } from '../../register/scene-data.ts';
import { scratchFolder, smallPacket, smallRegister, VERSION } from './small-packet.ts';

const filesOf = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((path) => statSync(join(folder, path)).isFile())
    .map((path) => path.replaceAll('\\', '/'))
    .sort();
const sha256 = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');
/** What someone does who wants an altered packet to look whole. */
const remakeManifest = (folder: string): void =>
  writeFileSync(
    join(folder, MANIFEST),
    filesOf(folder)
      .filter((path) => path !== MANIFEST && path !== SIGNATURE)
      .map((path) => `${sha256(readFileSync(join(folder, path)))}  ${path}\n`)
      .join(''),
  );
const edit = (folder: string, path: string, change: (text: string) => string): void =>
  writeFileSync(join(folder, path), change(readFileSync(join(folder, path), 'utf8')));
const verify = (folder: string, engineVersion = VERSION) => verifyPacket(folder, { engineVersion, publicKey: null });
const sumsOf = (folder: string) => {
  const problems: { path: string; found: string; expected: string }[] = [];
  checkSums(folder, null, (path, found, expected) => problems.push({ path, found, expected }));
  return problems;
};
const seeded = (seed: number) => () => (seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0) / 2 ** 32;

let kept = '';
afterAll(() => rmSync(kept, { recursive: true, force: true }));
/** A copy of one packet that is written once: most tests alter theirs. */
function freshCopy(): string {
  if (kept === '') {
    kept = mkdtempSync(join(tmpdir(), 'spurledger-packet-'));
    cpSync(smallPacket().out, join(kept, 'packet'), { recursive: true });
  }
  const copy = join(scratchFolder(), 'copy');
  cpSync(join(kept, 'packet'), copy, { recursive: true });
  return copy;
}

const keys = generateKeyPairSync('ed25519');
const PRIVATE = keys.privateKey.export({ type: 'pkcs8', format: 'pem' }).toString();
const PUBLIC = keys.publicKey.export({ type: 'spki', format: 'pem' }).toString();

describe('a packet as it was written', () => {
  test('is intact and reproduces to the last bit, and its list of sums is what sha256sum reads', () => {
    const { out, made } = smallPacket();
    expect(verify(out)).toMatchObject({
      intact: true,
      reproduces: true,
      problems: [],
      tolerance: null,
      signature: 'none',
    });
    const lines = readFileSync(join(out, MANIFEST), 'utf8').trimEnd().split('\n');
    expect(lines).toEqual(made.files.map(({ path, sha256: sum }) => `${sum}  ${path}`));
    expect(sha256(readFileSync(join(out, MANIFEST)))).toBe(made.manifestSha256);
    for (const { path, sha256: sum } of made.files) expect(sha256(readFileSync(join(out, path))), path).toBe(sum);
  });

  test('recomputes with the engineer’s decisions: one that is taken out, or given to another, shows in every result that rests on it', () => {
    const of = smallRegister();
    const { register } = of;
    const [first] = register.captures.list();
    register.sources.put({ ...source('U2'), nominalHz: 262_000 }, null);
    register.decisions.put(null, {
      captureId: first!.id,
      frequencyHz: 655_000,
      kind: 'reassign',
      source: 'U2',
      harmonic: 3,
      note: '',
      by: 'A. Hart',
      at: '2026-02-02T00:00:00Z',
    });
    const { out } = smallPacket(of);
    expect(readFileSync(join(out, 'results/weighed.json'), 'utf8')).toContain('decided by A. Hart');
    expect(verify(out)).toMatchObject({ intact: true, reproduces: true, problems: [] });
    edit(out, 'packet.json', (text) => text.replace(/"harmonic":\s*3/, '"harmonic": 4'));
    remakeManifest(out);
    const { reproduces, problems } = verify(out);
    expect(reproduces).toBe(false);
    expect(problems.map(({ path }) => path)).toContain('results/weighed.json');
  });

  test('written twice from one register has the same bytes', () => {
    const of = smallRegister();
    const [one, two] = [smallPacket(of), smallPacket(of)];
    expect(two.made.manifestSha256).toBe(one.made.manifestSha256);
  });

  test('of another version is held against what this one computes, within a tolerance that is stated', () => {
    const out = freshCopy();
    expect(verify(out, '9.9.9')).toMatchObject({
      intact: true,
      reproduces: true,
      tolerance: 1e-6,
      writtenBy: VERSION,
      verifiedBy: '9.9.9',
    });
    const path = 'results/triage-001.json';
    edit(out, path, (text) =>
      text.replace(/"levelDb": (-?[\d.]+)/, (_, level) => `"levelDb": ${Number(level) * (1 + 1e-8)}`),
    );
    remakeManifest(out);
    expect(verify(out, '9.9.9')).toMatchObject({ intact: true, reproduces: true });
    edit(out, path, (text) =>
      text.replace(/"levelDb": (-?[\d.]+)/, (_, level) => `"levelDb": ${Number(level) + 0.01}`),
    );
    remakeManifest(out);
    expect(verify(out, '9.9.9')).toMatchObject({
      intact: true,
      reproduces: false,
      problems: [{ path, found: expect.stringContaining('levelDb') as string }],
    });
  });
});

describe('one flipped byte', () => {
  test('in any file, at seeded places, is found and its file named', () => {
    const { out } = smallPacket(smallRegister(), { file: 'key.pem', pem: PRIVATE });
    const random = seeded(7);
    const files = filesOf(out);
    expect(files).toContain(SIGNATURE);
    for (const path of files) {
      const whole = readFileSync(join(out, path));
      const places = [0, whole.length - 1, ...Array.from({ length: 4 }, () => Math.floor(random() * whole.length))];
      for (const place of places) {
        const altered = Buffer.from(whole);
        altered[place]! ^= 1 << Math.floor(random() * 8);
        writeFileSync(join(out, path), altered);
        const named = sumsOf(out).map((problem) => problem.path);
        expect(named.length, `${path} byte ${place}`).toBeGreaterThan(0);
        if (path !== MANIFEST) expect(named, `${path} byte ${place}`).toContain(path);
      }
      writeFileSync(join(out, path), whole);
    }
    expect(sumsOf(out)).toEqual([]);
  });

  test('anywhere in the manifest or the signature is found: every place of the signature, every 37th of the manifest', () => {
    const { out } = smallPacket(smallRegister(), { file: 'key.pem', pem: PRIVATE });
    for (const [path, step] of [
      [SIGNATURE, 1],
      [MANIFEST, 37],
    ] as const) {
      const whole = readFileSync(join(out, path));
      for (let place = 0; place < whole.length; place += step) {
        const altered = Buffer.from(whole);
        altered[place]! ^= 1 << (place % 8);
        writeFileSync(join(out, path), altered);
        expect(sumsOf(out).length, `${path} byte ${place}`).toBeGreaterThan(0);
      }
      writeFileSync(join(out, path), whole);
    }
  });
});

describe('files', () => {
  test('that are altered, missing, added or reordered are each named', () => {
    const out = freshCopy();
    edit(out, 'tables/spurs.csv', (text) => text.replace('U1', 'U2'));
    rmSync(join(out, 'README.txt'));
    writeFileSync(join(out, 'note.txt'), 'slipped in');
    edit(out, MANIFEST, (text) => {
      const [first, second, ...rest] = text.split('\n');
      return [second, first, ...rest].join('\n');
    });
    const report = verify(out);
    expect(report).toMatchObject({ intact: false, reproduces: false });
    const said = new Map(report.problems.map(({ path, found }) => [path, found]));
    expect(said.get('tables/spurs.csv')).toMatch(/^altered/);
    expect(said.get('README.txt')).toBe('missing');
    expect(said.get('note.txt')).toBe('added');
    expect(said.get(MANIFEST)).toContain('reordered');
  });

  test('behind a link or outside the packet are not followed', () => {
    const { out, folder } = smallPacket();
    writeFileSync(join(folder, 'outside.txt'), 'secret');
    rmSync(join(out, 'README.txt'));
    symlinkSync(join(folder, 'outside.txt'), join(out, 'README.txt'));
    renameSync(join(out, 'tables'), join(folder, 'elsewhere'));
    symlinkSync(join(folder, 'elsewhere'), join(out, 'tables'));
    edit(out, MANIFEST, (text) => `${sha256(Buffer.from('secret'))}  ../outside.txt\n${text}`);
    const report = verify(out);
    expect(report).toMatchObject({ intact: false, reproduces: false });
    expect(report.problems).toContainEqual(
      expect.objectContaining({ path: 'README.txt', found: expect.stringContaining('link') as string }),
    );
    expect(report.problems).toContainEqual(
      expect.objectContaining({ path: 'tables', found: expect.stringContaining('link') as string }),
    );
    expect(report.problems).toContainEqual(
      expect.objectContaining({ path: MANIFEST, found: expect.stringContaining('../outside.txt') as string }),
    );
    expect(JSON.stringify(report)).not.toContain('secret');
  });
});

describe('a re-made manifest does not hide', () => {
  const cases: readonly (readonly [string, string, (text: string) => string])[] = [
    ['a level', 'results/triage-001.json', (text) => text.replace(/"levelDb": -?\d+/, '"levelDb": -150')],
    ['a cause', 'results/triage-001.json', (text) => text.replace('"cause": "source"', '"cause": "ambient"')],
    ['a status', 'results/comparisons.json', (text) => text.replace(/"status": "\w+"/, '"status": "cleared"')],
    ['a floor', 'results/floor-002.csv', (text) => text.replace(/^(-\d+)\./m, '$11.')],
    ['a table', 'tables/tracks.csv', (text) => text.replace('weaker', 'cleared')],
    ['a sentence of the page', 'packet.html', (text) => text.replace('does not show', 'does show')],
    ['a figure', 'plots/001.svg', (text) => text.replace('<circle', '<circle r="9"')],
    ['a word in print', 'packet.pdf', (text) => text.replace('/Title', '/Titel')],
    [
      'settings, so that all results change',
      'packet.json',
      (text) => text.replace('"falseAlarmsPerCapture": 0.05', '"falseAlarmsPerCapture": 50'),
    ],
    [
      'a point of a trace',
      'traces/001-1.csv',
      (text) => text.replace(/,(-\d+)\.(\d)/, (_, a: string, b: string) => `,${a}.${(Number(b) + 1) % 10}`),
    ],
    [
      'a point of the original file',
      'captures/001-first.csv',
      (text) => text.replace(/,(-\d+)\.(\d)/, (_, a: string, b: string) => `,${a}.${(Number(b) + 1) % 10}`),
    ],
    ['the order of two points', 'traces/001-1.csv', (text) => text.replace(/\n(.+)\n(.+)\n/, '\n$2\n$1\n')],
    ['blanks in the contents', 'packet.json', (text) => text.replace('": ', '":  ')],
  ];
  test.each(cases)('%s edited by hand in %s', (_, path, change) => {
    const out = freshCopy();
    const before = readFileSync(join(out, path), 'utf8');
    expect(change(before), 'the case alters nothing').not.toBe(before);
    if (path.endsWith('.pdf'))
      writeFileSync(join(out, path), Buffer.from(change(readFileSync(join(out, path), 'latin1')), 'latin1'));
    else edit(out, path, change);
    remakeManifest(out);
    const report = verify(out);
    expect(report).toMatchObject({ intact: true, reproduces: false });
    expect(report.problems.length).toBeGreaterThan(0);
  });

  test('a file that no contents give', () => {
    const out = freshCopy();
    mkdirSync(join(out, 'more'));
    writeFileSync(join(out, 'more', 'verdict.txt'), 'holds');
    remakeManifest(out);
    expect(verify(out)).toMatchObject({
      intact: true,
      reproduces: false,
      problems: [{ path: 'more/verdict.txt', found: 'added' }],
    });
  });
});

describe('what is no packet, or not this version’s', () => {
  test('a packet of a newer version is said to be one', () => {
    const out = freshCopy();
    edit(out, 'packet.json', (text) => text.replace('packet-contents/1', 'packet-contents/2'));
    remakeManifest(out);
    const report = verify(out);
    expect(report).toMatchObject({ intact: true, reproduces: false });
    expect(report.problems[0]!.found).toContain('newer version');
  });

  test.each([
    ['nothing', () => {}],
    ['a folder that is empty', (at: string) => mkdirSync(at)],
    ['a file', (at: string) => writeFileSync(at, 'x')],
    [
      'a manifest alone',
      (at: string) => {
        mkdirSync(at);
        writeFileSync(join(at, MANIFEST), '');
      },
    ],
    [
      'contents that are a number',
      (at: string) => {
        mkdirSync(at);
        writeFileSync(join(at, 'packet.json'), '7');
      },
    ],
    [
      'contents with a schema and nothing else',
      (at: string) => {
        mkdirSync(at);
        writeFileSync(join(at, 'packet.json'), '{"schema":"spurledger.packet-contents/1"}');
      },
    ],
  ])('%s is neither intact nor reproduced, and never a fault', (_, make) => {
    const at = join(scratchFolder(), 'p');
    make(at);
    const report = verify(at);
    expect(report.reproduces).toBe(false);
    expect(report.problems.length).toBeGreaterThan(0);
  });

  test('contents bent in any one field end in a report', () => {
    const out = freshCopy();
    const text = readFileSync(join(out, 'packet.json'), 'utf8');
    for (const field of Object.keys(JSON.parse(text) as object)) {
      writeFileSync(join(out, 'packet.json'), JSON.stringify({ ...(JSON.parse(text) as object), [field]: [{}] }));
      expect(verify(out).reproduces, field).toBe(false);
    }
  });
});

describe('a signature', () => {
  test('is good by the key that signed, unknown without one, and bad by another or for other bytes', () => {
    const { out } = smallPacket(smallRegister(), { file: 'key.pem', pem: PRIVATE });
    const check = (pem: string | null) =>
      verifyPacket(out, { engineVersion: VERSION, publicKey: pem === null ? null : publicKeyOf(pem, 'key.pub') });
    expect(check(PUBLIC)).toMatchObject({ intact: true, signature: 'good' });
    expect(check(null)).toMatchObject({ intact: true, signature: 'by an unknown key' });
    const other = generateKeyPairSync('ed25519').publicKey.export({ type: 'spki', format: 'pem' }).toString();
    expect(check(other)).toMatchObject({
      intact: false,
      signature: 'bad',
      problems: [{ path: SIGNATURE, found: expect.stringContaining('signed by the key') as string }],
    });
    edit(out, 'README.txt', (text) => `${text} `);
    remakeManifest(out);
    expect(check(PUBLIC)).toMatchObject({ intact: false, signature: 'bad' });
    rmSync(join(out, SIGNATURE));
    expect(check(PUBLIC)).toMatchObject({
      intact: false,
      signature: 'bad',
      problems: expect.arrayContaining([expect.objectContaining({ path: SIGNATURE, found: 'missing' })]) as object[],
    });
  });

  // RFC 8032, section 7.1, test 3 (from memory of the document; node:crypto computes it): the key below signs af82 to these 64 bytes.
  test('with a key that does not fit is refused before anything is written', () => {
    const rsa = generateKeyPairSync('rsa', { modulusLength: 1024 })
      .privateKey.export({ type: 'pkcs8', format: 'pem' })
      .toString();
    const of = smallRegister();
    for (const [pem, found] of [
      [rsa, 'type rsa'],
      ['no key', 'no key that can be read'],
      [PUBLIC, 'no key that can be read'],
    ] as const)
      expect(() => smallPacket(of, { file: 'key.pem', pem })).toThrow(found);
    expect(readdirSync(of.folder).filter((name) => name.includes('packet'))).toEqual([]);
    expect(() => publicKeyOf('no key', 'key.pub')).toThrow('no key that can be read');
  });
});
