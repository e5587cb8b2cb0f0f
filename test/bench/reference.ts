import { spawnSync } from 'node:child_process';

/**
 * Seconds that a few lines of Python need, the best of some rounds, measured inside Python; null where a library is missing.
 *
 * @param setup runs once; @param work is measured
 */
export function pythonSeconds(setup: string, work: string, rounds = 5): number | null {
  const indented = work.replaceAll('\n', '\n    ');
  const program = `
import time, json
${setup}
best = 1e9
for _ in range(${rounds}):
    start = time.process_time()
    ${indented}
    best = min(best, time.process_time() - start)
print(json.dumps(best))`;
  const run = spawnSync('python3', ['-c', program], { encoding: 'utf8', timeout: 600_000 });
  return run.status === 0 ? (JSON.parse(run.stdout) as number) : null;
}

/** Processor seconds of our own work, the best of some rounds after one that warms up. Others on the machine count little in these. */
export function ownSeconds(work: () => void, rounds = 5): number {
  work();
  let best = Infinity;
  for (let round = 0; round < rounds; round++) {
    const before = process.cpuUsage();
    work();
    const { user, system } = process.cpuUsage(before);
    best = Math.min(best, (user + system) / 1e6);
  }
  return best;
}

/** Seconds by the clock, the best of some rounds: for work of several threads. On a machine that is not idle it says too much. */
export function bestWallSeconds(work: () => void, rounds = 5): number {
  work();
  let best = Infinity;
  for (let round = 0; round < rounds; round++) {
    const before = performance.now();
    work();
    best = Math.min(best, (performance.now() - before) / 1000);
  }
  return best;
}

/** One line: what was done, our time, the reference's, and the ratio (above 1: we are faster). */
export function line(what: string, ownS: number, reference: string, referenceS: number | null): string {
  const own = `${what.padEnd(58)} ${(1000 * ownS).toFixed(0).padStart(7)} ms`;
  if (referenceS === null) return `${own}   ${reference} is not installed here`;
  return `${own}   ${reference} ${(1000 * referenceS).toFixed(0)} ms   ratio ${(referenceS / ownS).toFixed(2)}`;
}
