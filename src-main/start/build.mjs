// Builds the hosts and the page into out/ where their sources changed since the last time.
import { spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { withLock } from './lock.mjs';
import { NODE, ROOT } from './prepare.mjs';

const out = join(ROOT, 'out');
const stamp = join(out, '.built');

function sources() {
  const folders = ['src-main', 'src-renderer'].flatMap((top) =>
    readdirSync(join(ROOT, top), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => join(entry.parentPath, entry.name)),
  );
  return [...folders, ...['electron.config.ts', 'package-lock.json'].map((name) => join(ROOT, name))].sort();
}

/** Names, sizes and times: a few milliseconds, where reading and building would be seconds. */
function state() {
  const hash = createHash('sha256');
  for (const path of sources()) {
    const { size, mtimeMs } = statSync(path);
    hash.update(`${path}\n${size}\n${mtimeMs}\n`);
  }
  return hash.digest('hex');
}

function viteBuild() {
  const vite = join(ROOT, 'node_modules', 'electron-vite', 'bin', 'electron-vite.js');
  return new Promise((resolve) => {
    const child = spawn(NODE, [vite, 'build', '--config', 'electron.config.ts', '--logLevel', 'error'], { cwd: ROOT });
    let text = '';
    for (const stream of [child.stdout, child.stderr]) stream.on('data', (chunk) => (text += chunk));
    child.on('error', (error) => resolve(error.message));
    child.on('close', (code) => resolve(code === 0 ? null : text.trim() || `the build ended with status ${code}`));
  });
}

/** Resolves to null, or to what the build said when it failed. `always` builds even where nothing changed. */
export function build({ always = false } = {}) {
  return withLock(join(ROOT, '.building'), 'Another start is building the page; waiting for it.', async () => {
    const wanted = state();
    if (!always && existsSync(stamp) && readFileSync(stamp, 'utf8') === wanted) return null;
    rmSync(stamp, { force: true });
    const problem = await viteBuild();
    if (problem !== null) return problem;
    mkdirSync(out, { recursive: true });
    writeFileSync(stamp, wanted);
    return null;
  });
}
