import type { ByteSource } from '../../model/byte-source.ts';
import { UNKNOWN_SETTINGS, type ReadCapture } from '../../model/capture.ts';
import { InputError } from '../../model/input-problem.ts';
import type { ReadingHints } from '../../model/reading-hints.ts';
import type { Waterfall } from '../../model/waterfall.ts';
import { frequencyFactor } from '../../units/parse-unit.ts';
import { orderAxis } from '../spectra/axis-order.ts';
import { columnsCapture } from '../spectra/columns-capture.ts';
import { unitOfLevels } from '../spectra/unit-of-levels.ts';
import { waterfallTraces } from '../spectra/waterfall-traces.ts';
import { cellAxis, imageAxis, type ImageAxis } from './axes.ts';
import { readUnits, textOf, type HeaderDataUnit } from './header.ts';
import { imageValues } from './image.ts';
import { binaryColumns, textColumns, type TableColumn } from './table.ts';

const IS_FREQUENCY = /^(?:freq|frequency|frequencies|channel_?freq|f)(?:$|[\s_([])/i;
const IS_TIME = /^(?:time|utc?|mjd|t)(?:$|[\s_([])/i;

/** Rows of spectra on a frequency axis that is still as the file gives it. */
interface Rows {
  readonly label: string;
  readonly frequencyHz: Float64Array;
  readonly place: string;
  readonly rows: number;
  /** The level at a row and a point of the axis. */
  at(row: number, point: number): number;
  readonly unit: string | null;
  readonly rowStartS: Float64Array | null;
}

/**
 * Spectra and waterfalls in a FITS file (FITS Standard 4.0): images of one or two axes, and binary or text tables.
 *
 * A frequency axis in a table (a column named so, as long as an axis of the image) is believed over the linear axis of the image's
 * header, since only it can be irregular. Tables hold a spectrum as columns, as one row of long cells, or as one spectrum a row.
 *
 * @throws InputError where nothing in it is a spectrum, or no axis is one of frequency
 */
export function readFits(source: ByteSource, file: string, hints: ReadingHints): ReadCapture {
  const units = readUnits(source, file);
  const warnings: string[] = [];
  const tables = units
    .filter(({ kind, shape }) => (kind === 'bintable' || kind === 'table') && (shape[1] ?? 0) > 0)
    .map((unit) => ({
      unit,
      columns: unit.kind === 'table' ? textColumns(source, file, unit) : binaryColumns(source, file, unit),
    }));
  const axisColumns = tables.flatMap(({ columns }) => columns.filter(({ name }) => IS_FREQUENCY.test(name)));
  const takenAt = takenAtOf(units);
  const found: Rows[] = [];
  for (const unit of units) {
    const extents = unit.shape.filter((extent) => extent > 1);
    if (unit.kind !== 'image' || extents.length === 0 || unit.shape.includes(0)) continue;
    if (extents.length > 2) {
      warnings.push(`The image “${unit.name}” has ${extents.length} axes and was passed over.`);
      continue;
    }
    const rows = imageRows(source, file, unit, axisColumns, hints, warnings);
    if (rows !== null) found.push(rows);
  }
  if (found.length === 0)
    for (const { unit, columns } of tables) {
      const one = columnsOf(unit, columns);
      if (one !== null) {
        const read = columnsCapture(one, file, hints, layoutOf(units));
        return { ...read, warnings: [...warnings, ...read.warnings] };
      }
      found.push(...tableRows(unit, columns, axisColumns, warnings));
    }
  if (found.length === 0)
    throw new InputError({
      file,
      place: `its ${units.length} part(s)`,
      found: warnings[0] ?? 'no image or table with an axis of frequency',
      expected: 'a spectrum or a waterfall: an image with a frequency axis, or a table with a column of frequencies',
      wayOut:
        'Write the frequencies into a column named FREQUENCY or the axis keywords (CTYPE, CRVAL, CDELT, CRPIX), or state the first frequency and the step when opening it.',
    });
  const waterfalls = found.map((rows) => waterfallOf(rows, takenAt, file, hints, warnings));
  return {
    layout: layoutOf(units),
    traces: waterfalls.flatMap((waterfall) => waterfallTraces(waterfall, UNKNOWN_SETTINGS)),
    ...(waterfalls.some(({ rows }) => rows > 1) ? { waterfalls: waterfalls.filter(({ rows }) => rows > 1) } : {}),
    warnings: [...new Set(warnings)],
  };
}

/** An image of one or two axes as rows along its frequency axis; null where neither axis is one. */
function imageRows(
  source: ByteSource,
  file: string,
  unit: HeaderDataUnit,
  axisColumns: readonly TableColumn[],
  hints: ReadingHints,
  warnings: string[],
): Rows | null {
  // read first: what is there bounds everything that is computed from the stated sizes
  const values = imageValues(source, file, unit);
  const long = unit.shape.flatMap((extent, a) => (extent > 1 ? [a + 1] : []));
  const axes = long.map((n) => ({ n, length: unit.shape[n - 1]!, ...imageAxis(unit, n) }));
  const fromTable = axes.flatMap((axis) => {
    const column = axisColumns.find(({ values }) => values.length === axis.length);
    return column === undefined || axis.kind === 'time' ? [] : [{ axis, column }];
  })[0];
  const byHeader = axes.find(({ kind, stated }) => kind === 'frequency' && stated);
  const hinted = hints.startHz !== undefined && hints.stepHz !== undefined;
  const along = fromTable?.axis ?? byHeader ?? (hinted ? axes[0]! : undefined);
  if (along === undefined) {
    warnings.push(`The image “${unit.name}” states no frequency axis.`);
    return null;
  }
  const frequencyHz = hinted
    ? Float64Array.from({ length: along.length }, (_, i) =>
        Number((hints.startHz! + i * hints.stepHz!).toPrecision(15)),
      )
    : fromTable !== undefined
      ? columnHz(fromTable.column, along, hints, warnings)
      : inHz(along, hints, warnings);
  if (fromTable !== undefined && !hinted && byHeader !== undefined)
    warnings.push(
      `The frequencies are those of the table column ${fromTable.column.name}, not the linear axis of the image's header.`,
    );
  const other = axes.find(({ n }) => n !== along.n);
  const rows = other?.length ?? 1;
  const alongFirst = axes[0]!.n === along.n;
  const width = axes[0]!.length;
  const stepS = other?.kind === 'time' && other.stated ? other.factor : null;
  return {
    label: unit.name === 'primary' ? '' : unit.name,
    frequencyHz,
    place: fromTable === undefined ? `axis ${along.n}` : `column ${fromTable.column.name}`,
    rows,
    at: (row, point) => (alongFirst ? values[row * width + point]! : values[point * width + row]!),
    unit: textOf(unit.cards, 'BUNIT'),
    rowStartS: stepS === null ? null : other!.values.map((t) => (t - other!.values[0]!) * stepS),
  };
}

/** A table whose columns are all of one length: one number a row, or one long cell each in a single row. Null for anything else. */
function columnsOf(
  unit: HeaderDataUnit,
  columns: readonly TableColumn[],
): { name: string; unit?: string; values: Float64Array }[] | null {
  const frequency = columns.find(({ name }) => IS_FREQUENCY.test(name));
  if (frequency === undefined || (unit.shape[1]! > 1 && frequency.repeat > 1)) return null;
  const { length } = frequency.values;
  const same = columns.filter(({ values, repeat, rows }) => values.length === length && (repeat === 1 || rows === 1));
  return same.length < 2
    ? null
    : same.map(({ name, unit: text, values }) => ({ name, ...(text === null ? {} : { unit: text }), values }));
}

/** Spectra in the cells of a column, one a row. */
function tableRows(
  unit: HeaderDataUnit,
  columns: readonly TableColumn[],
  axisColumns: readonly TableColumn[],
  warnings: string[],
): Rows[] {
  const time = columns.find(({ name, repeat }) => IS_TIME.test(name) && repeat === 1);
  return columns.flatMap((column): Rows[] => {
    const { repeat, rows, values, name } = column;
    if (repeat < 2 || IS_FREQUENCY.test(name) || IS_TIME.test(name)) return [];
    const along = cellAxis(unit, column.number, repeat);
    const inTable = axisColumns.find((axis) => axis.repeat === repeat || axis.values.length === repeat);
    if (inTable === undefined && !(along.kind === 'frequency' && along.stated)) return [];
    const first = inTable === undefined ? null : { ...inTable, values: inTable.values.slice(0, repeat) };
    if (inTable !== undefined && !sameInEveryRow(inTable.values, repeat)) {
      warnings.push(`The frequencies in column ${inTable.name} change from row to row; “${name}” was passed over.`);
      return [];
    }
    const frequencyHz = first === null ? inHz(along, {}, warnings) : columnHz(first, along, {}, warnings);
    return [
      {
        label: name,
        frequencyHz,
        place: first === null ? `the cells of column ${name}` : `column ${first.name}`,
        rows,
        at: (row, point) => values[row * repeat + point]!,
        unit: column.unit,
        rowStartS: time === undefined || time.unit?.trim() !== 's' ? null : time.values.map((t) => t - time.values[0]!),
      },
    ];
  });
}

function sameInEveryRow(values: Float64Array, repeat: number): boolean {
  for (let i = repeat; i < values.length; i++) if (values[i] !== values[i % repeat]) return false;
  return true;
}

function waterfallOf(
  rows: Rows,
  takenAt: string | null,
  file: string,
  hints: ReadingHints,
  warnings: string[],
): Waterfall {
  const { frequencyHz, from, warnings: aboutAxis } = orderAxis(rows.frequencyHz, rows.place, file);
  warnings.push(...aboutAxis);
  const n = frequencyHz.length;
  const level = new Float64Array(rows.rows * n);
  for (let r = 0, k = 0; r < rows.rows; r++) for (let i = 0; i < n; i++, k++) level[k] = rows.at(r, from[i]!);
  const unit = unitOfLevels(rows.unit, hints.unit, level, warnings);
  const good = rows.rowStartS !== null && rows.rowStartS.every((t, i, all) => i === 0 || t >= all[i - 1]!);
  return {
    label: rows.label,
    frequencyHz,
    rows: rows.rows,
    level,
    unit,
    rowStartS: good ? rows.rowStartS : null,
    takenAt,
  };
}

/** Frequencies of a column in Hz: by its own unit, else by that of the image's axis, else Hz. */
function columnHz(column: TableColumn, along: ImageAxis, hints: ReadingHints, warnings: string[]): Float64Array {
  const own = column.unit === null ? null : frequencyFactor(column.unit);
  const borrowed = along.kind === 'frequency' ? along.factor : null;
  const factor = hints.frequencyFactor ?? own ?? borrowed;
  if (hints.frequencyFactor === undefined && own === null)
    warnings.push(
      borrowed === null
        ? `Column ${column.name} has no unit; it is taken to be in Hz.`
        : `Column ${column.name} has no unit; that of the image's frequency axis is taken.`,
    );
  return column.values.map((f) => Number((f * (factor ?? 1)).toPrecision(15)));
}

function inHz(along: ImageAxis, hints: ReadingHints, warnings: string[]): Float64Array {
  const factor = hints.frequencyFactor ?? along.factor;
  if (factor === null) warnings.push('The unit of the frequency axis is not known here; it is taken to be Hz.');
  return along.values.map((f) => Number((f * (factor ?? 1)).toPrecision(15)));
}

function takenAtOf(units: readonly HeaderDataUnit[]): string | null {
  for (const { cards } of units) {
    const date = textOf(cards, 'DATE-OBS');
    if (date === null) continue;
    const time = textOf(cards, 'TIME-OBS');
    return /T\d/.test(date) || time === null ? date : `${date} ${time}`;
  }
  return null;
}

function layoutOf(units: readonly HeaderDataUnit[]): string {
  return `FITS, ${units.map(({ kind, name, shape }) => `${kind} “${name}” (${shape.join(' × ')})`).join(', ')}`.slice(
    0,
    300,
  );
}
