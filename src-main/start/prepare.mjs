// Makes a fresh clone ready: packages as the lock file says, and Node 24 where the machine's is older.
// Plain JavaScript without imports from packages: it runs before there are any, on the machine's own Node (18 or newer).
// Everything is told on standard error, so that commands whose output is read by scripts stay clean.
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { withLock } from './lock.mjs';

export const ROOT = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const modules = join(ROOT, 'node_modules');
const stamp = join(modules, '.prepared');
const ownNode = join(modules, 'node', 'bin', process.platform === 'win32' ? 'node.exe' : 'node');

/** The newest library needs this one; it also runs TypeScript as it is. */
const NODE_MAJOR = 24;
const isNewEnough = Number(process.versions.node.split('.')[0]) >= NODE_MAJOR;
const runsOnOwnNode = process.execPath.startsWith(modules + sep);

/** Path of a Node that everything else runs on: the machine's where it is new enough, else the one among the packages. */
export const NODE = isNewEnough ? process.execPath : ownNode;

class NotPrepared extends Error {}

function npm(...args) {
  // on Windows npm is a script and needs the shell
  const done = spawnSync('npm', args, { cwd: ROOT, stdio: ['ignore', 2, 2], shell: process.platform === 'win32' });
  if (done.status === 0) return;
  throw new NotPrepared(
    `“npm ${args.join(' ')}” failed${done.error ? `: ${done.error.message}` : ''}.\n` +
      'Check that this machine reaches its package registry, then give the same command again.',
  );
}

function install(wanted) {
  console.error('Installing packages (once)…');
  // Windows cannot replace a program that runs, and this one may run on the Node among the packages.
  const how = runsOnOwnNode && process.platform === 'win32' ? 'install' : 'ci';
  // scripts are left out: the database library would try to compile itself where its prebuilt binary already fits
  npm(how, '--ignore-scripts', '--no-audit', '--no-fund', '--loglevel=error');
  if (!isNewEnough || runsOnOwnNode) {
    console.error(`Installing Node ${NODE_MAJOR} beside them (once)…`);
    npm('rebuild', 'node', '--loglevel=error');
  }
  writeFileSync(stamp, wanted);
}

/** Returns whether everything is there; where it could not be had, says why. Quick when there is nothing to do. */
export async function prepare() {
  const wanted = createHash('sha256')
    .update(readFileSync(join(ROOT, 'package-lock.json')))
    .digest('hex');
  const isReady = () => existsSync(NODE) && existsSync(stamp) && readFileSync(stamp, 'utf8') === wanted;
  if (isReady()) return true;
  try {
    await withLock(join(ROOT, '.preparing'), 'Another start is installing the packages; waiting for it.', () => {
      if (!isReady()) install(wanted);
    });
    return true;
  } catch (error) {
    if (!(error instanceof NotPrepared)) throw error;
    console.error(`\n${error.message}`);
    return false;
  }
}
