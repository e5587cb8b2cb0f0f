import { describe, expect, test } from 'vitest';
import { InputError } from '../../src-main/model/input-problem.ts';
import { readCapture } from '../../src-main/readers/read-capture.ts';
import { GOOD_FILES, type GoodFile } from './good-files.ts';
import { expectPromises } from './invariants.ts';
import { mutated, seeded } from './mutate.ts';

/** Mutations a file: a few in every run, 10 000 where SPURLEDGER_MUTATIONS says so. */
const MUTATIONS = Number(process.env['SPURLEDGER_MUTATIONS'] ?? 150);
const LARGEST = 65_536;

const read = ({ name, companions, hints }: GoodFile, bytes: Uint8Array) => readCapture(bytes, name, companions, hints);

/** Traces or an InputError with five parts; anything else is a fault of the reader. True where it was read. */
function readOrRefused(file: GoodFile, bytes: Uint8Array): boolean {
  try {
    expectPromises(read(file, bytes), bytes);
    return true;
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    for (const part of Object.values(error.problem) as string[]) if (part === '') expect.fail('an empty part');
    return false;
  }
}

describe.each(GOOD_FILES.map((file) => [file.name, file] as const))('%s', (name, file) => {
  test('is read as it is', () => {
    expectPromises(read(file, file.bytes), file.bytes);
  });

  test('cut off at every byte of its first 3000 and its last 200 is read in part or refused', () => {
    const { length } = file.bytes;
    for (let cut = 0; cut < length; cut += cut < 3000 || cut > length - 200 ? 1 : 97)
      readOrRefused(file, file.bytes.subarray(0, cut));
  });

  test(`${MUTATIONS} mutations are read or refused`, () => {
    const random = seeded(0x5eed + name.length * 7919 + name.charCodeAt(0));
    let refused = 0;
    for (let m = 0; m < MUTATIONS; m++) {
      const bytes = mutated(file.bytes, random, LARGEST);
      try {
        if (!readOrRefused(file, bytes)) refused++;
      } catch (error) {
        throw new Error(`mutation ${m}: ${String(error)}`, { cause: error });
      }
    }
    // samples without a head cannot be broken
    if (name !== 'data.sigmf-data') expect(refused).toBeGreaterThan(0);
  });

  test('followed or preceded by bytes of any kind is read or refused', () => {
    const random = seeded(99);
    const noise = Uint8Array.from({ length: 300 }, () => random() * 256);
    for (const bytes of [
      [...file.bytes, ...noise],
      [...noise, ...file.bytes],
    ])
      readOrRefused(file, Uint8Array.from(bytes));
  });
});

test('bytes of any kind under the name of every format are read or refused', () => {
  const random = seeded(7);
  for (const file of GOOD_FILES)
    for (let t = 0; t < 20; t++)
      readOrRefused(
        file,
        Uint8Array.from({ length: Math.floor(random() * 4000) }, () => random() * 256),
      );
});
