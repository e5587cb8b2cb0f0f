import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { chmodSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, expect, test, vi } from 'vitest';
import { findBrowser } from '../../src-main/start/find-browser.mjs';

const START = join(import.meta.dirname, '..', '..', 'src-main', 'start');
const folders: string[] = [];

afterEach(() => {
  vi.unstubAllEnvs();
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
});

function freshFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'spurledger-start-'));
  folders.push(folder);
  return folder;
}

/** A process that writes "in", waits, writes "out", all while it holds the lock. */
function holder(lock: string, journal: string, waitMs: number): ChildProcess {
  const text = `
    import { appendFileSync } from 'node:fs';
    import { withLock } from ${JSON.stringify(join(START, 'lock.mjs'))};
    await withLock(${JSON.stringify(lock)}, 'waiting', async () => {
      appendFileSync(${JSON.stringify(journal)}, 'in ');
      await new Promise((resolve) => setTimeout(resolve, ${waitMs}));
      appendFileSync(${JSON.stringify(journal)}, 'out ');
    });`;
  return spawn(process.execPath, ['--input-type=module', '-e', text], { stdio: 'ignore' });
}

const ended = (child: ChildProcess): Promise<void> => new Promise((resolve) => child.on('close', () => resolve()));

test('withLock(…) lets one process work at a time', async () => {
  const [lock, journal] = [join(freshFolder(), 'lock'), join(freshFolder(), 'journal')];
  await Promise.all([holder(lock, journal, 300), holder(lock, journal, 100), holder(lock, journal, 1)].map(ended));
  expect(readFileSync(journal, 'utf8')).toBe('in out in out in out ');
  expect(existsSync(lock)).toBe(false);
});

test('withLock(…) does not wait for one that was killed while it held the lock', async () => {
  const [lock, journal] = [join(freshFolder(), 'lock'), join(freshFolder(), 'journal')];
  const killed = holder(lock, journal, 60_000);
  await vi.waitFor(() => expect(existsSync(journal)).toBe(true), 10_000);
  killed.kill('SIGKILL');
  await ended(killed);
  expect(existsSync(lock)).toBe(true);
  await ended(holder(lock, journal, 1));
  expect(readFileSync(journal, 'utf8')).toBe('in in out ');
});

test('the pre-step says nothing on standard output, and the program gets its own arguments and status', () => {
  const program = join(freshFolder(), 'program.mjs');
  writeFileSync(program, 'console.log(JSON.stringify(process.argv.slice(2))); process.exitCode = 3;');
  const { stdout, status } = spawnSync(process.execPath, [join(START, 'run.mjs'), program, 'triage', '--json', 'a b'], {
    encoding: 'utf8',
  });
  expect(stdout).toBe('["triage","--json","a b"]\n');
  expect(status).toBe(3);
});

test('findBrowser() takes the one that is named, else the first on the PATH, and never a file that cannot run', () => {
  const [first, second] = [freshFolder(), freshFolder()];
  const ending = process.platform === 'win32' ? '.exe' : '';
  for (const [folder, mode] of [
    [first, 0o644],
    [second, 0o755],
  ] as const) {
    writeFileSync(join(folder, `chromium${ending}`), '');
    chmodSync(join(folder, `chromium${ending}`), mode);
  }
  vi.stubEnv('SPURLEDGER_BROWSER', '');
  vi.stubEnv('PATH', [first, second].join(process.platform === 'win32' ? ';' : ':'));
  if (process.platform !== 'win32') expect(findBrowser()).toBe(join(second, 'chromium'));
  vi.stubEnv('SPURLEDGER_BROWSER', join(first, `chromium${ending}`));
  expect(findBrowser()).toBe(join(first, `chromium${ending}`));
  vi.stubEnv('SPURLEDGER_BROWSER', join(first, 'gone'));
  expect(findBrowser()).toBeNull();
});
