import type { ByteSource } from '../model/byte-source.ts';
import type { ReadCapture } from '../model/capture.ts';
import { InputError } from '../model/input-problem.ts';
import { NO_HINTS, type ReadingHints } from '../model/reading-hints.ts';
import { sourceOf } from './binary/read-at.ts';
import { readText } from './delimited/read-text.ts';
import { readFits } from './fits/read-fits.ts';
import { FORMAT_NAMES, recogniseFormat, wrongEnding } from './formats.ts';
import { readNpy } from './npy/read-npy.ts';
import { dataFileName, noData, readSigmf, readSigmfArchive } from './sigmf/read-sigmf.ts';
import { readSpreadsheet } from './spreadsheet/read-spreadsheet.ts';
import { readSweepRows } from './sweep-rows/read-sweep-rows.ts';
import { readTraceJson } from './trace-json/read-trace-json.ts';
import { readTouchstone } from './touchstone/read-touchstone.ts';
import { readWav } from './wav/read-wav.ts';

/**
 * Files beside the capture, by name: an axis, a header, or a recording's other half may stand there. Small ones come with their bytes,
 * large ones with their length alone.
 */
export type Companions = ReadonlyMap<string, Uint8Array | { readonly length: number }>;

/** Text and tables are read as a whole; recordings are not. */
const MOST_WHOLE_BYTES = 2 ** 31 - 1;

/**
 * Understands one capture file, or says why not: by its content first, and by its name only where the content does not say.
 *
 * Recordings of any length are read through a byte source; only their heads are looked at.
 *
 * @param file the name the user knows it by
 * @param companions files beside it with the same stem
 * @param hints what the user says of it; believed over the file
 * @throws InputError
 */
export function readCapture(
  input: Uint8Array | ByteSource,
  file: string,
  companions: Companions = new Map(),
  hints: ReadingHints = NO_HINTS,
): ReadCapture {
  const source = sourceOf(input);
  const format = recogniseFormat(source, file);
  const read = readAs(format, source, file, companions, hints);
  const ending = wrongEnding(format, file);
  return ending === null ? read : { ...read, warnings: [ending, ...read.warnings] };
}

function readAs(
  format: ReturnType<typeof recogniseFormat>,
  source: ByteSource,
  file: string,
  companions: Companions,
  hints: ReadingHints,
): ReadCapture {
  switch (format) {
    case 'wav':
      return readWav(source, file, hints);
    case 'npy':
      return readNpy(source, file, hints);
    case 'fits':
      return readFits(source, file, hints);
    case 'sigmf-meta': {
      const meta = wholeBytes(source, file, format).slice();
      const name = dataFileName(meta, file);
      const beside = companionNamed(companions, name);
      if (beside === null) throw noData(file, name);
      const data = { dataFile: beside[0], atBytes: 0, lengthBytes: beside[1].length };
      return readSigmf(meta, file, data, hints);
    }
    case 'sigmf-data': {
      const name = `${baseName(file).replace(/\.[^.]*$/, '')}.sigmf-meta`;
      const beside = companionNamed(companions, name);
      if (beside === null || !(beside[1] instanceof Uint8Array)) throw noMetadata(file, name);
      const data = { dataFile: null, atBytes: 0, lengthBytes: source.length };
      return readSigmf(beside[1], beside[0], data, hints);
    }
    case 'sigmf-archive':
      return readSigmfArchive(source, file, hints);
    case 'touchstone':
      return readTouchstone(wholeBytes(source, file, format), file);
    case 'spreadsheet':
      return readSpreadsheet(wholeBytes(source, file, format), file, hints, (text, name, own) =>
        readText(text, name, new Map(), own),
      );
    case 'trace-json':
      return readTraceJson(wholeBytes(source, file, format), file);
    case 'sweep-rows':
      return readSweepRows(wholeBytes(source, file, format), file, hints);
    case 'text':
      return readText(wholeBytes(source, file, format), file, companions, hints);
  }
}

function wholeBytes(source: ByteSource, file: string, format: keyof typeof FORMAT_NAMES): Uint8Array {
  if (source.length > MOST_WHOLE_BYTES)
    throw new InputError({
      file,
      place: 'the whole file',
      found: `${FORMAT_NAMES[format].words} of ${source.length} bytes`,
      expected: `at most ${MOST_WHOLE_BYTES}`,
      wayOut: 'Split the file.',
    });
  return source.read(0, source.length);
}

/** The companion of this name in whatever folder, whatever the case of its letters. */
function companionNamed(
  companions: Companions,
  name: string,
): [string, Uint8Array | { readonly length: number }] | null {
  for (const entry of companions) if (baseName(entry[0]).toLowerCase() === name.toLowerCase()) return entry;
  return null;
}

function baseName(file: string): string {
  return file.replace(/^.*[/\\]/, '');
}

function noMetadata(file: string, name: string): InputError {
  return new InputError({
    file,
    place: 'beside the file',
    found: 'no metadata for these samples',
    expected: `“${name}”`,
    wayOut: 'Put the metadata file beside the samples under the same name, or open both together.',
  });
}
