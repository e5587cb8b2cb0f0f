import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { wrenFiles } from './make-wren/build-files.ts';
import { smallFiles } from './make-wren/small-samples.ts';

const samples = join(import.meta.dirname, '..', '..', 'sample-captures');

describe('sample captures', () => {
  const files = new Map([
    ...[...wrenFiles()].map(([path, text]) => [join('wren', path), text] as const),
    ...smallFiles(),
  ]);

  it.each([...files.keys()])('%s is byte for byte what the seeded script builds', (path) => {
    const kept = readFileSync(join(samples, path), 'utf8');
    // compared as one boolean: a difference would print a hundred thousand characters
    expect(kept === files.get(path)).toBe(true);
  });

  it('are not more files than the script builds, and stay small', () => {
    const captures = readdirSync(join(samples, 'wren', 'captures'));
    expect(captures.every((name) => files.has(join('wren', 'captures', name)))).toBe(true);
    const sizes = [...files.values()].map((text) => Buffer.byteLength(text));
    expect(Math.max(...sizes)).toBeLessThan(250_000);
    expect(sizes.reduce((sum, size) => sum + size, 0)).toBeLessThan(4_000_000);
  });

  it('say in every capture that they are invented, and carry a description of their origin', () => {
    for (const [path, text] of files)
      if (/\.(csv|txt)$/.test(path) && !/(sources|bands|limits|conditions)\.csv$/.test(path))
        expect(text.slice(0, 200)).toMatch(/invented|erfundene/);
    expect(existsSync(join(samples, 'README.md')) && existsSync(join(samples, 'wren', 'README.md'))).toBe(true);
  });
});
