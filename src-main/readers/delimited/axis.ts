import { InputError } from '../../model/input-problem.ts';
import { directionOf, isCounting, type ColumnHeader } from './columns.ts';
import type { NumberTable } from './find-tables.ts';
import type { Preamble } from './preamble.ts';

/** A frequency axis from a companion file, for level columns that have none of their own. */
export interface CompanionAxis {
  readonly file: string;
  readonly frequencyHz: Float64Array;
}

export interface Axis {
  readonly frequencyHz: Float64Array;
  /** True where the file runs downwards: levels must be turned round too. */
  readonly descending: boolean;
}

/**
 * The column that is the frequency: by its header, else the first that rises (or falls) throughout and is no row count.
 * Null where the table has none and the axis must come from statements or a companion.
 */
export function chooseAxis(
  columns: readonly (Float64Array | null)[],
  header: readonly ColumnHeader[],
  preamble: Preamble,
  hasCompanion: boolean,
): number | null {
  const byHeader = columns.findIndex((column, c) => column !== null && header[c]?.role === 'frequency');
  if (byHeader >= 0) return byHeader;
  const filled = columns.flatMap((column, c) => (column === null ? [] : [c]));
  const stated = hasCompanion || (preamble.startHz !== null && (preamble.stopHz !== null || preamble.stepHz !== null));
  if (filled.length < 2) return null;
  const open = filled.filter((c) => {
    const { role, levelUnit, unitFromName } = header[c] ?? { role: 'unknown', levelUnit: null, unitFromName: false };
    return role !== 'time' && role !== 'other' && (levelUnit === null || unitFromName);
  });
  const moving = open.filter((c) => directionOf(columns[c]!) !== 0);
  const notCounting = moving.filter((c) => !isCounting(columns[c]!) && header[c]?.role !== 'index');
  const positive = notCounting.filter((c) => columns[c]![0]! >= 0 && columns[c]![columns[c]!.length - 1]! >= 0);
  if (notCounting.length > 0) return positive[0] ?? notCounting[0]!;
  if (stated) return null;
  const counting = moving.find((c) => header[c]?.role !== 'index');
  if (counting !== undefined) return counting;
  if (moving.length > 0) return null;
  // nothing rises throughout: the first column is the axis, and the check will name the row that breaks it
  return open.find((c) => header[c]?.role !== 'index') ?? null;
}

/** The frequencies in a column, in Hz and ascending. Throws InputError at the first row that breaks them. */
export function axisFromColumn(
  column: Float64Array,
  c: number,
  header: readonly ColumnHeader[],
  preamble: Preamble,
  table: NumberTable,
  file: string,
  warnings: string[],
): Axis {
  const named = header[c]?.role === 'frequency';
  const unit = header[c]?.frequencyFactor ?? preamble.frequencyFactor;
  const factor = factorOf(column, header[c]?.frequencyFactor ?? null, unit, preamble, warnings);
  if (unit === null && !named && factor === 1) refuseTimeAxis(column, table, file);
  if (unit === null && factor === 1) warnings.push(noUnit(column, preamble, isCounting(column) && !named));
  const descending = column.length > 1 && column[column.length - 1]! < column[0]!;
  // the column is the reader's own array: a long one is not copied for nothing
  const frequencyHz = factor === 1 && !descending ? column : new Float64Array(column.length);
  for (let i = 0, j = descending ? column.length - 1 : 0; i < column.length; i++, j += descending ? -1 : 1)
    frequencyHz[j] = inHz(column[i]!, factor);
  checkAscending(frequencyHz, descending, table, c, file);
  if (descending) warnings.push('The frequencies run downwards in the file; they were turned round.');
  return { frequencyHz, descending };
}

/** A number times its unit, without the binary dust: 100.1 MHz is 100100000 Hz, not 100099999.99999999. */
function inHz(value: number, factor: number): number {
  const hz = value * factor;
  if (factor === 1) return hz;
  const millihertz = Math.round(hz * 1000) / 1000;
  return Math.abs(millihertz - hz) <= 4e-16 * Math.abs(hz) ? millihertz : hz;
}

/** Hz per number of the column; where the stated start and stop both disagree with its unit by one power of a thousand, they win. */
function factorOf(
  column: Float64Array,
  own: number | null,
  stated: number | null,
  preamble: Preamble,
  warnings: string[],
): number {
  const { startHz, stopHz } = preamble;
  const low = Math.min(column[0]!, column[column.length - 1]!);
  const high = Math.max(column[0]!, column[column.length - 1]!);
  if (own !== null || startHz === null || stopHz === null || high <= 0) return stated ?? 1;
  const near = (a: number, b: number): boolean => Math.abs(a - b) <= 0.01 * (stopHz - startHz);
  for (const factor of [1, 1e3, 1e6, 1e9]) {
    if (!near(low * factor, startHz) || !near(high * factor, stopHz) || factor === (stated ?? 1)) continue;
    warnings.push(
      `The stated start and stop (${startHz} to ${stopHz} Hz) fit the table (${low} to ${high}) only if its frequencies are in ${NAMES[factor]!}; they are taken so${stated === null ? '' : `, although the file says ${NAMES[stated] ?? `${stated} Hz`}`}.`,
    );
    return factor;
  }
  return stated ?? 1;
}
const NAMES: Readonly<Record<number, string>> = { 1: 'Hz', 1e3: 'kHz', 1e6: 'MHz', 1e9: 'GHz' };

function noUnit(column: Float64Array, preamble: Preamble, mayBeCount: boolean): string {
  const high = Math.max(column[0]!, column[column.length - 1]!);
  const rbwHz = preamble.settingsFor(0, 1, '').settings.rbwHz;
  const parts = ['The frequency column has no unit; it is taken to be in Hz.'];
  if (mayBeCount) parts.push('It counts up by one and may be a row number.');
  else if (high < 1e5 || (rbwHz !== null && rbwHz > high))
    parts.push(`It ends at ${high}: check that it is not in kHz, MHz or GHz.`);
  return parts.join(' ');
}

function refuseTimeAxis(column: Float64Array, table: NumberTable, file: string): void {
  // rising or falling throughout, so an end is the lowest: the check of the axis comes behind
  const negative = Math.min(column[0]!, column[column.length - 1]!) < 0;
  const high = Math.max(column[0]!, column[column.length - 1]!);
  if (!negative && high >= 1) return;
  throw new InputError({
    file,
    place: `line ${table.firstLine + 1}`,
    found: negative
      ? 'a rising column that begins below zero, with no word of frequency: perhaps a time record'
      : `a rising column that ends at ${high}, with no word of frequency: perhaps a time record`,
    expected: 'a spectrum: level against frequency, with its unit',
    wayOut:
      'Put a line such as “Frequency (Hz),Level (dBm)” or “Time (s),Channel (V)” above the numbers, or say when opening it what the axis is.',
  });
}

/** Frequencies from a companion file, or computed from the stated start and stop (or step). Throws InputError where nobody says. */
export function axisFromStatements(
  table: NumberTable,
  preamble: Preamble,
  companion: CompanionAxis | null,
  file: string,
  warnings: string[],
): Axis {
  const { rows } = table;
  if (companion !== null) {
    if (companion.frequencyHz.length !== rows)
      throw new InputError({
        file,
        place: `line ${table.lastLine + 1}`,
        found: `${rows} levels`,
        expected: `${companion.frequencyHz.length}, as many as ${companion.file} has frequencies`,
        wayOut: 'Check that both files are of one measurement.',
      });
    warnings.push(`The frequencies are those of ${companion.file} beside it.`);
    return { frequencyHz: companion.frequencyHz, descending: false };
  }
  const { startHz, stopHz, stepHz, points } = preamble;
  const stepOf = stopHz !== null && startHz !== null ? (stopHz - startHz) / (rows - 1) : stepHz;
  if (startHz === null || stepOf === null || !(stepOf > 0))
    throw new InputError({
      file,
      place: `line ${table.firstLine + 1}`,
      found: 'levels alone, without frequencies',
      expected: 'a frequency beside each level, or start and stop frequency above the table',
      wayOut:
        'Export with the frequency column, add lines “start,…” and “stop,…”, or put a file of the frequencies, one a line, beside it under the same name with the ending .x.',
    });
  if (points !== null && points !== rows && stopHz !== null)
    throw new InputError({
      file,
      place: `line ${table.lastLine + 1}`,
      found: `${rows} levels without frequencies`,
      expected: `${points}, as the file states`,
      wayOut: 'The file seems cut off, so the frequencies cannot be computed from its start and stop: export it again.',
    });
  const how = stopHz !== null ? 'stop' : 'step';
  warnings.push(`The frequencies are computed from the stated start and ${how}; the table has none.`);
  const frequencyHz = Float64Array.from({ length: rows }, (_, i) => Number((startHz + i * stepOf).toPrecision(15)));
  if (stopHz !== null) frequencyHz[rows - 1] = stopHz;
  checkAscending(frequencyHz, false, table, null, file);
  return { frequencyHz, descending: false };
}

function checkAscending(
  frequencyHz: Float64Array,
  descending: boolean,
  table: NumberTable,
  c: number | null,
  file: string,
): void {
  const n = frequencyHz.length;
  const place = (i: number): string =>
    `line ${table.firstLine + (descending ? n - 1 - i : i) + 1}${c === null ? '' : `, column ${c + 1}`}`;
  for (let i = 0; i < n; i++) {
    const f = frequencyHz[i]!;
    const before = i === 0 ? -Infinity : frequencyHz[i - 1]!;
    if (f > before && f < Infinity) continue;
    if (!Number.isFinite(f) || Number.isNaN(before))
      throw new InputError({
        file,
        place: place(Number.isNaN(before) ? i - 1 : i),
        found: 'no frequency',
        expected: 'a finite number',
        wayOut: 'Fill in or delete that row.',
      });
    throw new InputError({
      file,
      place: place(descending ? i - 1 : i),
      found: f === before ? `the frequency ${f} Hz a second time` : `${f} Hz after ${before} Hz`,
      expected: 'frequencies that rise (or fall) throughout',
      wayOut:
        f === before
          ? 'If these are several sweeps, part them with a blank line; if the frequencies are rounded, export more digits.'
          : 'Check that this column really is the frequency, and that rows were not mixed.',
    });
  }
}
