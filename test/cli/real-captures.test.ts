import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { expectShape, TRIAGE_SHAPE } from '../report/document-shape.ts';
import { run } from './in-process.ts';

const SHARED = process.env['SPURLEDGER_SHARED'] ?? new URL('../../../shared', import.meta.url).pathname;
const CAPTURES = join(SHARED, 'real-captures');
const here = existsSync(CAPTURES);

/** Folders whose text files are spectra; the others hold time records and recordings. */
const SPECTRA = [
  'fft-linear-converter',
  'fft-known-tone',
  'sa-multitrace-sentinel',
  'sa-nul-bytes',
  'sa-site-survey',
  'psd-blocks-hline',
];
const files = here
  ? SPECTRA.flatMap((folder) =>
      readdirSync(join(CAPTURES, folder))
        .filter((file) => /\.(csv|txt|dat)$/.test(file) && !file.includes('binary'))
        .map((file) => join(folder, file)),
    )
  : [];

test.skipIf(!here)(
  'every spectrum of the real captures goes through triage into a whole document (skipped where they are absent)',
  async () => {
    const { status, out, err } = await run(CAPTURES, 'triage', ...files, '--json');
    expect(status, err).toBe(0);
    const document = JSON.parse(out) as {
      captures: {
        file: string;
        spurs: { over_floor_db: number; frequency_hz: number }[];
        start_hz: number;
        stop_hz: number;
      }[];
    };
    expectShape(document, TRIAGE_SHAPE);
    expect(document.captures.map(({ file }) => file)).toEqual(files);
    for (const capture of document.captures) {
      for (const spur of capture.spurs) {
        expect(spur.frequency_hz, capture.file).toBeGreaterThanOrEqual(capture.start_hz);
        expect(spur.frequency_hz, capture.file).toBeLessThanOrEqual(capture.stop_hz);
      }
    }
  },
);
