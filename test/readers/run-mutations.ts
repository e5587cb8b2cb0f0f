import { readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { InputError } from '../../src-main/model/input-problem.ts';
import { readCapture } from '../../src-main/readers/read-capture.ts';
import { GOOD_FILES } from './good-files.ts';
import { mutated, seeded } from './mutate.ts';

/**
 * Mutated files of up to 64 kB through every reader in a process of its own, whose peak memory is then that of reading; then the files
 * of a folder, where one is named. Prints one line of JSON; `npx node test/readers/run-mutations.ts 10000` is the long campaign.
 */
const mutations = Number(process.argv[2] ?? 100);
const LARGEST = 65_536;
const noise = seeded(4711);

const before = process.resourceUsage().maxRSS;
let worst = { ms: 0, file: '' };
let [files, refused] = [0, 0];
for (const { name, bytes, companions, hints } of GOOD_FILES) {
  const random = seeded(0xb16 + name.length);
  for (let m = 0; m < mutations; m++) {
    // every tenth is noise of full length under that name
    const broken =
      m % 10 === 9 ? Uint8Array.from({ length: LARGEST }, () => noise() * 256) : mutated(bytes, random, LARGEST);
    take(`${name}, mutation ${m}`, () => readCapture(broken, name, companions, hints));
  }
}
const folder = process.argv[3];
if (folder !== undefined)
  for (const name of readdirSync(folder)) {
    const bytes = readFileSync(join(folder, name));
    if (bytes.length > LARGEST) throw new Error(`${name} has ${bytes.length} bytes`);
    const samples = new Map([[`${basename(name, '.sigmf-meta')}.sigmf-data`, { length: 2 ** 40 }]]);
    take(name, () => readCapture(bytes, name, samples));
  }

function take(name: string, read: () => unknown): void {
  const start = performance.now();
  try {
    read();
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    refused++;
  }
  const ms = performance.now() - start;
  if (ms > worst.ms) worst = { ms: Math.round(ms), file: name };
  files++;
}

const mb = (kilobytes: number): number => Math.round(kilobytes / 1024);
console.log(
  JSON.stringify({
    files,
    refused,
    startMb: mb(before),
    peakMb: mb(process.resourceUsage().maxRSS),
    worstMs: worst.ms,
    slowest: worst.file,
  }),
);
