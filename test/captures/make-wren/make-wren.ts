/**
 * Writes the invented sample captures: `npx node test/captures/make-wren/make-wren.ts`. The same bytes on every run.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { wrenFiles } from './build-files.ts';
import { smallFiles } from './small-samples.ts';

const samples = join(import.meta.dirname, '..', '..', '..', 'sample-captures');

for (const [folder, files] of [
  ['wren', wrenFiles()],
  ['', smallFiles()],
] as const)
  for (const [path, text] of files) {
    const target = join(samples, folder, path);
    mkdirSync(dirname(target), { recursive: true });
    writeFileSync(target, text);
    process.stdout.write(`${join('sample-captures', folder, path)}: ${Buffer.byteLength(text)} bytes\n`);
  }
