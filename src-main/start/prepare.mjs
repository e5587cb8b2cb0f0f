// Makes a fresh clone ready: packages as the lock file says, and Node 24 where the machine's is older.
// Plain JavaScript without imports from packages: it runs before there are any, on the machine's own Node (18 or newer).
// Everything is told on standard error, so that commands whose output is read by scripts stay clean.
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const modules = join(root, 'node_modules');
const stamp = join(modules, '.prepared');
const lock = join(root, '.preparing');
const LOCK_MS = 10 * 60 * 1000;

const wanted = createHash('sha256')
  .update(readFileSync(join(root, 'package-lock.json')))
  .digest('hex');
const isReady = () => existsSync(stamp) && readFileSync(stamp, 'utf8') === wanted;

function run(command, args) {
  // on Windows npm is a script and needs the shell
  const done = spawnSync(command, args, { cwd: root, stdio: ['ignore', 2, 2], shell: process.platform === 'win32' });
  if (done.status === 0) return;
  console.error(`\n“${command} ${args.join(' ')}” failed${done.error ? `: ${done.error.message}` : ''}.`);
  console.error('Check that this machine reaches its package registry, then give the same command again.');
  process.exitCode = 1;
  throw new Error('not prepared');
}

function takeLock() {
  for (let told = false; ;) {
    try {
      mkdirSync(lock);
      return;
    } catch {
      if (isReady()) return;
      let age = 0;
      try {
        age = Date.now() - statSync(lock).mtimeMs;
      } catch {
        continue; // it was given back just now
      }
      if (age > LOCK_MS) rmSync(lock, { recursive: true, force: true });
      else {
        if (!told) console.error('Another start is installing the packages; waiting for it.');
        told = true;
        Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 500);
      }
    }
  }
}

if (!isReady()) {
  takeLock();
  try {
    if (!isReady()) {
      console.error('Installing packages (once)…');
      // scripts are left out: the database library would try to compile itself where its prebuilt binary already fits
      run('npm', ['ci', '--ignore-scripts', '--no-audit', '--no-fund', '--loglevel=error']);
      if (Number(process.versions.node.split('.')[0]) < 24) run('npm', ['rebuild', 'node', '--loglevel=error']);
      writeFileSync(stamp, wanted);
    }
  } catch (error) {
    if (process.exitCode !== 1) throw error;
  } finally {
    rmSync(lock, { recursive: true, force: true });
  }
}
