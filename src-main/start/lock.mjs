// One process at a time: two first runs at once would tear each other's packages or build apart.
import { readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { setTimeout as sleep } from 'node:timers/promises';

/** Longer than any install takes; an older lock belongs to a process of another machine or of an earlier boot. */
const STALE_MS = 15 * 60 * 1000;

function owner(file) {
  try {
    return { id: Number(readFileSync(file, 'utf8')), ageMs: Date.now() - statSync(file).mtimeMs };
  } catch {
    return null; // it was given back just now
  }
}

function lives({ id, ageMs }) {
  if (ageMs > STALE_MS) return false;
  if (!(id > 0)) return ageMs < 2000; // made, and its number not yet written
  try {
    process.kill(id, 0);
    return true;
  } catch (error) {
    return error.code === 'EPERM'; // another user's, and alive
  }
}

function take(file) {
  try {
    writeFileSync(file, String(process.pid), { flag: 'wx' });
    return true;
  } catch (error) {
    if (error.code === 'EEXIST') return false;
    throw error;
  }
}

/** Runs `work` while holding the lock file; waits for another holder that lives, and sets aside one that ended half-way. */
export async function withLock(file, waiting, work) {
  for (let told = false; !take(file);) {
    const holder = owner(file);
    if (holder === null) continue;
    if (!lives(holder)) {
      rmSync(file, { force: true });
      continue;
    }
    if (!told) console.error(waiting);
    told = true;
    await sleep(200);
  }
  try {
    return await work();
  } finally {
    rmSync(file, { force: true });
  }
}
