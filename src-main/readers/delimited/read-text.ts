import type { ReadCapture } from '../../model/capture.ts';
import { InputError } from '../../model/input-problem.ts';
import type { LevelUnit } from '../../model/level-unit.ts';
import type { ReadingHints } from '../../model/reading-hints.ts';
import { parseLevelUnit } from '../../units/parse-unit.ts';
import { detectDialect, findTables, sampleLines } from './find-tables.ts';
import { readDelimited, type Beside } from './read-delimited.ts';
import { decode, textBytes } from './text.ts';

type Companions = ReadonlyMap<string, Uint8Array | { readonly length: number }>;

/** Formats that begin with a mark of their own and that this version does not read. */
const UNREAD_MARKS: readonly (readonly [number[], string])[] = [
  [[0x1f, 0x8b], 'a gzip archive'],
  [[0x89, 0x50, 0x4e, 0x47], 'a PNG picture'],
  [[0xff, 0xd8, 0xff], 'a JPEG picture'],
  [[0x25, 0x50, 0x44, 0x46], 'a PDF document'],
  [[0x89, 0x48, 0x44, 0x46], 'an HDF5 file'],
];

/**
 * Reads text as a table, with the files beside it where its own has levels alone.
 *
 * @throws InputError, also for the program's own input tables and for formats that are not read
 */
export function readText(bytes: Uint8Array, file: string, companions: Companions, hints: ReadingHints): ReadCapture {
  for (const [mark, what] of UNREAD_MARKS)
    if (mark.every((b, i) => bytes[i] === b))
      throw new InputError({
        file,
        place: 'byte 0',
        found: what,
        expected: 'a spectrum or a recording in an open format',
        wayOut: 'Export the trace as text (CSV).',
      });
  refuseTable(bytes, file);
  try {
    return readDelimited(bytes, file, null, hints);
  } catch (error) {
    const beside =
      error instanceof InputError && /levels alone/.test(error.problem.found) ? filesBeside(file, companions) : null;
    if (beside === null) throw error;
    return readDelimited(bytes, file, beside, hints);
  }
}

/** The first column of the input tables, and what the table is: dropped here by mistake they would look like numbers. */
const TABLES: readonly (readonly [RegExp, string])[] = [
  [/^\W*designator\W/i, 'a list of sources'],
  [/^\W*name\W+low_hz\W/i, 'a list of bands'],
  [/^\W*file\W+(?:role|point|state|mode|sources_on)\W/i, 'a table of conditions'],
];

function refuseTable(bytes: Uint8Array, file: string): void {
  const begin = decode(bytes, 0, Math.min(bytes.length, 200), 'Latin-1');
  for (const [pattern, what] of TABLES)
    if (pattern.test(begin))
      throw new InputError({
        file,
        place: 'line 1',
        found: what,
        expected: 'a spectrum as a text table of frequency and level',
        wayOut: 'Import it as what it is; here open captures only.',
      });
}

/** The axis in `stem.x`, one frequency a line, and the level unit a header file `stem.hdr` states. */
function filesBeside(file: string, companions: Companions): Beside | null {
  const stem = file.replace(/\.[^.]*$/, '').toLowerCase();
  const beside = (ending: string): [string, Uint8Array] | null => {
    for (const entry of companions)
      if (entry[1] instanceof Uint8Array && entry[0] !== file && entry[0].toLowerCase() === `${stem}${ending}`)
        return [entry[0], entry[1]];
    return null;
  };
  const axis = beside('.x');
  if (axis === null) return null;
  const text = textBytes(axis[1], axis[0]);
  const score = detectDialect(text.bytes, sampleLines(text.bytes));
  if (score === null) return null;
  const [table] = findTables(text.bytes, score.dialect, axis[0]).tables;
  if (table === undefined || table.columns.length !== 1) return null;
  checkFrequencies(table.columns[0]!, table.firstLine, axis[0]);
  return { axis: { file: axis[0], frequencyHz: table.columns[0]! }, unit: unitIn(beside('.hdr')) };
}

function checkFrequencies(frequencyHz: Float64Array, firstLine: number, file: string): void {
  const bad = frequencyHz.findIndex((f, i) => !Number.isFinite(f) || (i > 0 && !(f > frequencyHz[i - 1]!)));
  if (bad >= 0)
    throw new InputError({
      file,
      place: `line ${firstLine + bad + 1}`,
      found: `${frequencyHz[bad]!} after ${frequencyHz[bad - 1] ?? 'nothing'}`,
      expected: 'frequencies that rise throughout',
      wayOut: 'Check that this is the file of frequencies that belongs to the levels.',
    });
}

/** A level unit in a header file of fixed-width keys: a key that names a unit, and a quoted or bare word behind it. */
function unitIn(header: [string, Uint8Array] | null): LevelUnit | null {
  if (header === null) return null;
  const words = textBytes(header[1], header[0]);
  const text = decode(words.bytes, 0, Math.min(words.bytes.length, 1 << 18), words.encoding);
  for (const [, unit] of text.matchAll(
    /(?:engUnit|yUnit|y[ _]unit|level[ _]unit)[^\s"]*[ \t]{1,80}"?([^"\s]{1,20})"?/gi,
  )) {
    const parsed = parseLevelUnit(unit!);
    if (parsed !== null) return parsed;
  }
  return null;
}
