// Electron's binary: where it is, or whether it can be had soon. Importing the package instead would start a download.
import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { NODE, ROOT } from './prepare.mjs';

const folder = join(ROOT, 'node_modules', 'electron');

/** Time to see whether a download gets anywhere. */
const DECIDE_MS = 3500;
/** A download that has begun is given up when nothing more arrives for so long. */
const STALL_MS = 15_000;

/** Path of the binary as Electron's installer left it, or null. */
export function electronBinary() {
  const note = join(folder, 'path.txt');
  if (!existsSync(note)) return null;
  const binary = join(
    process.env['ELECTRON_OVERRIDE_DIST_PATH'] ?? join(folder, 'dist'),
    readFileSync(note, 'utf8').trim(),
  );
  return existsSync(binary) ? binary : null;
}

function bytesIn(path) {
  if (!existsSync(path)) return 0;
  try {
    return readdirSync(path, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .reduce((sum, entry) => sum + statSync(join(entry.parentPath, entry.name)).size, 0);
  } catch {
    return 0; // a file went away while it was looked at
  }
}

/**
 * Lets Electron's own installer try. Whether it can succeed is told by bytes arriving within four seconds: then it is waited
 * for, otherwise ended. Resolves to the binary's path, or null.
 */
export function fetchElectron() {
  const installer = join(folder, 'install.js');
  if (!existsSync(installer)) return Promise.resolve(null);
  const scratch = mkdtempSync(join(tmpdir(), 'spurledger-electron-'));
  return new Promise((resolve) => {
    const env = { ...process.env, TMPDIR: scratch, TEMP: scratch, TMP: scratch };
    const child = spawn(NODE, [installer], { cwd: folder, stdio: 'ignore', env });
    let [bytes, lastAt, told] = [0, Date.now(), false];
    const startedAt = Date.now();
    const look = setInterval(() => {
      const now = bytesIn(scratch) + bytesIn(join(folder, 'dist'));
      if (now > bytes) [bytes, lastAt] = [now, Date.now()];
      const hasBegun = bytes > 0;
      if (!hasBegun && Date.now() - startedAt > DECIDE_MS) child.kill('SIGKILL');
      if (hasBegun && Date.now() - lastAt > STALL_MS) child.kill('SIGKILL');
      if (hasBegun && !told && Date.now() - startedAt > DECIDE_MS) {
        console.error('Fetching Electron (once)…');
        told = true;
      }
    }, 200);
    const done = () => {
      clearInterval(look);
      rmSync(scratch, { recursive: true, force: true });
      resolve(electronBinary());
    };
    child.on('error', done);
    child.on('close', done);
  });
}
