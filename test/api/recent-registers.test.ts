import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { RecentRegisters } from '../../src-main/api/recent-registers.ts';

const folder = mkdtempSync(join(tmpdir(), 'spurledger-recent-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const entry = (n: number) => ({
  path: join(folder, `${n}.spurledger`),
  title: String(n),
  openedAt: '2026-03-01T10:00:00Z',
});
let file = 0;
const fresh = () => join(folder, `recent-${file++}.json`);

test('the newest is first, each register once, at most twelve', () => {
  const path = fresh();
  const recent = new RecentRegisters(path);
  for (let n = 0; n < 15; n++) recent.opened(entry(n), false);
  recent.opened(entry(10), false);
  const titles = new RecentRegisters(path).list().map(({ title }) => title);
  expect(titles).toEqual(['10', '14', '13', '12', '11', '9', '8', '7', '6', '5', '4', '3']);
  expect(recent.last()).toBe(entry(10).path);
});

test('a register that is gone stays listed and is said to be gone', () => {
  const recent = new RecentRegisters(fresh());
  recent.opened(entry(1), false);
  expect(recent.list()[0]!.exists).toBe(false);
  writeFileSync(entry(1).path, '');
  expect(recent.list()[0]!.exists).toBe(true);
});

test('the scratch register is opened again but not listed', () => {
  const recent = new RecentRegisters(fresh());
  recent.opened(entry(1), false);
  recent.opened({ ...entry(2), title: 'Scratch' }, true);
  expect(recent.list().map(({ title }) => title)).toEqual(['1']);
  expect(recent.last()).toBeNull();
});

test.each(['', 'not JSON', '{"last":3}', '{"last":null,"recent":[{"path":1}]}'])(
  'a damaged list %j is as good as none and is mended by the next opening',
  (text) => {
    const path = fresh();
    writeFileSync(path, text);
    const recent = new RecentRegisters(path);
    expect(recent.list()).toEqual([]);
    expect(recent.last()).toBeNull();
    recent.opened(entry(1), false);
    expect(recent.list()).toHaveLength(1);
  },
);

test('a folder that cannot be written does not keep a register from opening', () => {
  writeFileSync(join(folder, 'plain-file'), '');
  const recent = new RecentRegisters(join(folder, 'plain-file', 'recent.json'));
  expect(() => recent.opened(entry(1), false)).not.toThrow();
});
