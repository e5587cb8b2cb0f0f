import type { ReadCapture } from '../../model/capture.ts';
import { UNKNOWN_SETTINGS } from '../../model/capture.ts';
import { InputError } from '../../model/input-problem.ts';
import type { ReadingHints } from '../../model/reading-hints.ts';
import type { Waterfall } from '../../model/waterfall.ts';
import { decode, endOfText, lineEndOf, textBytes } from '../delimited/text.ts';
import { unitOfLevels } from '../spectra/unit-of-levels.ts';
import { waterfallTraces } from '../spectra/waterfall-traces.ts';
import { isSegmentRow, parseSegmentRow, type SegmentRow } from './parse-row.ts';
import { lastIsRepeated, segmentAxis } from './segment-axis.ts';
import { commonAxis, groupSweeps } from './sweeps.ts';

/** Lines looked at to recognise the layout: remarks may stand above the rows. */
const LOOKED_AT = 20;
/** A waterfall is held as a whole: 512 MB of numbers. */
const MOST_LEVELS = 1 << 26;

/** True where the text begins with rows of sweep segments, remarks above them passed over. */
export function isSweepRows(bytes: Uint8Array): boolean {
  const stop = lineEndOf(bytes.subarray(0, 65_536));
  for (let start = 0, l = 0; start < bytes.length && l < LOOKED_AT; l++) {
    const at = bytes.indexOf(stop, start);
    const next = at < 0 ? bytes.length : at;
    if (isSegmentRow(decode(bytes, start, Math.min(next, start + 400), 'Latin-1').replace(/^ï»¿/, ''))) return true;
    start = next + 1;
  }
  return false;
}

/**
 * Reads rows of sweep segments: date, time, low and high frequency, step, number of samples, and the levels between.
 *
 * 1. Rows; one cut off at the end is left out and told of, any other damaged row is refused. 2. Rows that cover the same segments again
 * are the next sweep. 3. One axis for all: overlapping and repeated edges count once. 4. A waterfall of the sweeps; the traces are
 * their mean (of power) and the last sweep that is whole.
 *
 * Levels stand at low + i·step. Such files say nothing of detector, RBW or averages; the unit is taken by its numbers.
 *
 * @throws InputError with the line
 */
export function readSweepRows(input: Uint8Array, file: string, hints: ReadingHints): ReadCapture {
  const { bytes } = textBytes(input, file);
  const warnings: string[] = [];
  const rows = parseRows(bytes, file, warnings);
  const sweeps = groupSweeps(rows);
  const repeats = lastIsRepeated(rows);
  const segments = new Map<number, { lowHz: number; stepHz: number; points: number; kind: string }>();
  for (const row of rows) {
    const axis = segmentAxis(row, repeats);
    const known = segments.get(row.lowHz);
    if (known === undefined) segments.set(row.lowHz, { lowHz: row.lowHz, ...axis });
    else if (known.points !== axis.points || Math.abs(known.stepHz - axis.stepHz) > 1e-6 * known.stepHz)
      throw new InputError({
        file,
        place: `line ${row.line}`,
        found: `${row.level.length} levels in steps of ${row.stepHz} Hz from ${row.lowHz} Hz`,
        expected: `${known.points} in steps of ${known.stepHz} Hz, as in the sweep before`,
        wayOut: 'Save sweeps of one setting a file.',
      });
  }
  const { frequencyHz, placed, overlapping } = commonAxis([...segments.values()]);
  if (frequencyHz.length < 2) throw tooFew(file, rows[0]!.line, frequencyHz.length);
  if (sweeps.length * frequencyHz.length > MOST_LEVELS)
    throw new InputError({
      file,
      place: 'the whole file',
      found: `${sweeps.length} sweeps of ${frequencyHz.length} points`,
      expected: `at most ${MOST_LEVELS} levels in all`,
      wayOut: 'Split the file by time, or sweep with a wider step.',
    });
  const level = new Float64Array(sweeps.length * frequencyHz.length).fill(NaN);
  const byLow = new Map(placed.map((segment) => [segment.lowHz, segment]));
  for (const [s, sweep] of sweeps.entries())
    for (const row of sweep) {
      const { to, points } = byLow.get(row.lowHz)!;
      for (let i = 0; i < points; i++)
        if (to[i]! >= 0) level[s * frequencyHz.length + to[i]!] = Number.isFinite(row.level[i]!) ? row.level[i]! : NaN;
    }
  const whole = sweeps.map((sweep) => sweep.length === segments.size);
  const partial = whole.filter((is) => !is).length;
  if (partial > 0 && partial < sweeps.length)
    warnings.push(
      `${partial} of ${sweeps.length} sweeps lack segments; the others' levels stand for them in the mean.`,
    );
  if (repeats) warnings.push('Each row ends with its last level a second time; the copy was left out.');
  if (overlapping > 0)
    warnings.push(
      `${overlapping} points are covered by two segments; the one farther from its segment's edge was taken.`,
    );
  const kinds = [...segments.values()].map(({ kind }) => kind);
  if (kinds.includes('stated step'))
    warnings.push(
      'The number of levels does not fit the edges and the step; the stated step was taken from the low edge.',
    );
  const gaps = gapsIn([...segments.values()]);
  if (gaps > 0) warnings.push(`Between ${gaps} pair(s) of neighbouring segments frequencies are missing.`);
  warnings.push(
    'Levels were put at low + i · step; the file does not say whether that is the middle of each bin, so frequencies may be half a step off.',
  );
  const order = lastWholeLast(whole);
  const waterfall: Waterfall = {
    label: '',
    frequencyHz,
    rows: sweeps.length,
    level,
    unit: unitOfLevels(null, hints.unit, level, warnings),
    rowStartS: rowTimes(sweeps.map(([first]) => first!.takenAt)),
    takenAt: sweeps[0]![0]!.takenAt,
  };
  const traces = waterfallTraces(waterfall, UNKNOWN_SETTINGS);
  if (order !== null && traces.length === 2) {
    const n = frequencyHz.length;
    traces[1] = { ...traces[1]!, label: 'last whole sweep', level: level.slice(order * n, (order + 1) * n) };
  }
  return {
    layout: `rows of sweep segments: ${sweeps.length} sweep(s) of ${segments.size} segment(s), ${frequencyHz.length} points`,
    traces: traces.map((trace, t) => ({
      ...trace,
      label: traces.length === 1 ? 'sweep' : t === 0 ? `mean of ${sweeps.length} sweeps` : trace.label,
    })),
    ...(sweeps.length > 1 ? { waterfalls: [waterfall] } : {}),
    warnings,
  };
}

function parseRows(bytes: Uint8Array, file: string, warnings: string[]): SegmentRow[] {
  const stop = lineEndOf(bytes);
  const rows: SegmentRow[] = [];
  let delimiter = -1;
  let line = 0;
  let remarks = 0;
  for (let start = 0; start < bytes.length;) {
    line++;
    const at = bytes.indexOf(stop, start);
    const next = at < 0 ? bytes.length : at;
    const end = endOfText(bytes, start, next);
    if (delimiter < 0 && isSegmentRow(decode(bytes, start, Math.min(end, start + 400), 'Latin-1')))
      delimiter = [44, 59, 9].find((mark) => bytes.indexOf(mark, start) >= 0 && bytes.indexOf(mark, start) < end)!;
    if (delimiter < 0 || bytes[start] === 35) {
      if (end > start) remarks++;
    } else {
      const row = parseSegmentRow(bytes, start, end, line, delimiter);
      const isLast = next >= bytes.length - 1;
      if (typeof row === 'string') {
        if (!isLast || rows.length === 0)
          throw new InputError({
            file,
            place: `line ${line}`,
            found: row,
            expected: 'date, time, low and high frequency, step, number of samples, and levels',
            wayOut: 'Correct or delete that line.',
          });
        warnings.push(`Line ${line}, the last, is damaged or cut off (${row}) and was left out.`);
      } else if (row !== null) {
        // the last line may have lost its end
        const before = at < 0 ? rows.findLast(({ lowHz }) => lowHz === row.lowHz) : undefined;
        if (before !== undefined && row.level.length < before.level.length)
          warnings.push(
            `Line ${line}, the last, has ${row.level.length} of ${before.level.length} levels: cut off, and left out.`,
          );
        else rows.push(row);
      }
    }
    start = next + 1;
  }
  if (remarks > 0) warnings.push(`${remarks} line(s) of remarks were passed over.`);
  if (rows.length === 0) throw tooFew(file, line, 0);
  return rows;
}

function gapsIn(segments: readonly { lowHz: number; stepHz: number; points: number }[]): number {
  const sorted = [...segments].sort((a, b) => a.lowHz - b.lowHz);
  return sorted.slice(1).filter((next, i) => {
    const before = sorted[i]!;
    return next.lowHz - (before.lowHz + before.points * before.stepHz) > 0.5 * before.stepHz;
  }).length;
}

/** The last sweep that is whole, where that is not simply the last. */
function lastWholeLast(whole: readonly boolean[]): number | null {
  const last = whole.lastIndexOf(true);
  return last < 0 || last === whole.length - 1 ? null : last;
}

/** Seconds from the first row, null where a date is not year-month-day or times run backwards. */
function rowTimes(takenAt: readonly string[]): Float64Array | null {
  const seconds = takenAt.map((text) => {
    const match = /^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2}) (\d{1,2}):(\d{2}):(\d{2}(?:\.\d+)?)/.exec(text);
    if (match === null) return NaN;
    const [year, month, day, hour, minute, second] = match.slice(1).map(Number) as [
      number,
      number,
      number,
      number,
      number,
      number,
    ];
    return daysFrom(year, month, day) * 86_400 + hour * 3600 + minute * 60 + second;
  });
  if (seconds.some((s, i) => !Number.isFinite(s) || (i > 0 && s < seconds[i - 1]!))) return null;
  return Float64Array.from(seconds, (s) => s - seconds[0]!);
}

/** Days of the proleptic Gregorian calendar (Fliegel and Van Flandern 1968, Julian day number). */
function daysFrom(year: number, month: number, day: number): number {
  const a = Math.floor((14 - month) / 12);
  const y = year + 4800 - a;
  const m = month + 12 * a - 3;
  return day + Math.floor((153 * m + 2) / 5) + 365 * y + Math.floor(y / 4) - Math.floor(y / 100) + Math.floor(y / 400);
}

function tooFew(file: string, line: number, points: number): InputError {
  return new InputError({
    file,
    place: `line ${line}`,
    found: `${points} different frequencies`,
    expected: 'at least two',
    wayOut: 'Save sweeps of more than one step.',
  });
}
