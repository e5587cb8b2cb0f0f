import { spawnSync } from 'node:child_process';

/** Why a test against the reference library was skipped. */
export const NO_SCIPY = 'python3 with scipy is not installed here';

/** True where python3 with scipy can be started. */
export const hasScipy: boolean =
  spawnSync('python3', ['-c', 'import numpy, scipy.signal'], { timeout: 30_000 }).status === 0;

/** Runs a few lines of Python that find `data` (what is passed) and `json` at hand and print one JSON value. */
export function python<T>(data: unknown, program: string): T {
  const run = spawnSync('python3', ['-c', `import json, sys\ndata = json.load(sys.stdin)\n${program}`], {
    input: JSON.stringify(data),
    encoding: 'utf8',
    maxBuffer: 256 * 1024 * 1024,
    timeout: 60_000,
  });
  if (run.status !== 0) throw new Error(run.stderr);
  return JSON.parse(run.stdout) as T;
}
