import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { InputError } from '../../src-main/model/input-problem.ts';
import { readCapture } from '../../src-main/readers/read-capture.ts';
import { hostileFiles } from './hostile-files.ts';

/** Of the whole process, the program itself included. */
const MOST_MB = 200;
/** So that what is no longer needed does not count for long. */
const HEAP = ['--max-old-space-size=100', '--max-semi-space-size=8'];

test('any file of up to 64 kB, broken or made to harm, is read or refused in no more than 200 MB', () => {
  const folder = mkdtempSync(join(tmpdir(), 'spurledger-hostile-'));
  try {
    for (const { name, bytes } of hostileFiles()) writeFileSync(join(folder, name), bytes);
    const script = fileURLToPath(new URL('run-mutations.ts', import.meta.url));
    const run = spawnSync(process.execPath, [...HEAP, script, '60', folder], { encoding: 'utf8' });
    expect(run.stderr).toBe('');
    const said = JSON.parse(run.stdout) as { files: number; refused: number; peakMb: number };
    expect(said.files).toBeGreaterThan(1000);
    expect(said.refused).toBeGreaterThan(500);
    expect(said.peakMb).toBeLessThanOrEqual(MOST_MB);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});

test.each(hostileFiles().map(({ name, bytes }) => [name, bytes] as const))(
  'made to harm: %s is understood, or refused with the reason',
  (name, bytes) => {
    try {
      const read = readCapture(bytes, name, new Map([['segments.sigmf-data', { length: 2 ** 40 }]]));
      expect(read.traces.length + (read.recordings?.length ?? 0)).toBeGreaterThan(0);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      for (const part of Object.values(error.problem) as string[]) expect(part).not.toBe('');
    }
  },
);
