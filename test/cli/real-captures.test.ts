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

test('the same spurs over two floors persist, none is weaker, stronger or cleared (origin note of fft-linear-converter)', async (context) => {
  if (realCaptures === null) return context.skip(ABSENT);
  const sides = ['--before', 'case1.csv', '--after', 'case2.csv', '--json'];
  const { status, out, err } = await run(join(realCaptures, 'fft-linear-converter'), 'compare', ...sides);
  expect(status, err).toBe(0);
  const all = (JSON.parse(out) as { tracks: { status: string; before: { frequency_hz: number } | null }[] }).tracks;
  // The bin at 0 Hz is the mean of the record and no spur; what is said of it is not judged here.
  const tracks = all.filter(({ before }) => before === null || before.frequency_hz > 10);
  const statusAt = (frequencyHz: number) =>
    tracks.find(({ before }) => before !== null && Math.abs(before.frequency_hz - frequencyHz) < 5)?.status;
  for (const frequencyHz of [50, 2880, 9950, 10_050])
    expect(statusAt(frequencyHz), `${frequencyHz} Hz`).toBe('persists');
  for (const wrong of ['weaker', 'stronger', 'cleared', 'new'])
    expect(tracks.map((track) => track.status)).not.toContain(wrong);
});
