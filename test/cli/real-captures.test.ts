import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { expectShape, TRIAGE_SHAPE } from '../report/document-shape.ts';
import { ABSENT, realCaptures } from '../shared.ts';
import { run } from './in-process.ts';

/** Folders whose text files are spectra; the others hold time records and recordings. */
const SPECTRA = [
  'fft-linear-converter',
  'fft-known-tone',
  'sa-multitrace-sentinel',
  'sa-nul-bytes',
  'sa-site-survey',
  'psd-blocks-hline',
];

interface Document {
  readonly captures: readonly {
    readonly file: string;
    readonly start_hz: number;
    readonly stop_hz: number;
    readonly spurs: readonly { readonly frequency_hz: number; readonly level: number }[];
  }[];
}

test('every spectrum of the real captures goes through triage into a whole document', async (context) => {
  if (realCaptures === null) return context.skip(ABSENT);
  const folder = realCaptures;
  const files = SPECTRA.flatMap((name) =>
    readdirSync(join(folder, name))
      .filter((file) => /\.(csv|txt|dat)$/.test(file) && !file.includes('binary'))
      .map((file) => join(name, file)),
  );
  const { status, out, err } = await run(folder, 'triage', ...files, '--json');
  expect(status, err).toBe(0);
  const document = JSON.parse(out) as Document;
  expectShape(document, TRIAGE_SHAPE);
  expect(document.captures.map(({ file }) => file)).toEqual(files);
  for (const { file, spurs, start_hz, stop_hz } of document.captures) {
    for (const { frequency_hz } of spurs) {
      expect(frequency_hz, file).toBeGreaterThanOrEqual(start_hz);
      expect(frequency_hz, file).toBeLessThanOrEqual(stop_hz);
    }
  }
});

test('the same carrier groups over two floors persist (origin note of fft-linear-converter)', async (context) => {
  if (realCaptures === null) return context.skip(ABSENT);
  const sides = ['--before', 'case1.csv', '--after', 'case2.csv', '--json'];
  const { status, out, err } = await run(join(realCaptures, 'fft-linear-converter'), 'compare', ...sides);
  expect(status, err).toBe(0);
  const { tracks } = JSON.parse(out) as { tracks: { status: string; before: { frequency_hz: number } | null }[] };
  const seenBefore = tracks.flatMap(({ status, before }) =>
    before === null ? [] : [{ status, at: before.frequency_hz }],
  );
  // The note names these groups with their levels; of the mains' own harmonics below 1 kHz it says nothing.
  for (const frequencyHz of [50, 2880, 9950, 10_050]) {
    expect(seenBefore.find(({ at }) => Math.abs(at - frequencyHz) < 5)?.status, `${frequencyHz} Hz`).toBe('persists');
  }
  for (const track of seenBefore.filter(({ at }) => at > 1000)) {
    expect(['persists', 'hidden'], `${track.at} Hz is ${track.status}`).toContain(track.status);
  }
  expect(tracks.map((track) => track.status)).not.toContain('new');
});
