import type { ReadCapture } from '../../model/capture.ts';
import type { ReadingHints } from '../../model/reading-hints.ts';
import { timeFactor } from '../../units/parse-unit.ts';
import { timeRecord, type TimeChannel } from '../spectra/time-record.ts';
import { isNumber, numberWithUnit, splitAt, type Line } from './cells.ts';
import { directionOf, isCounting, type ColumnHeader } from './columns.ts';
import type { NumberTable } from './find-tables.ts';
import { plainKey } from './fields.ts';
import type { Statement } from './statements.ts';

/** What makes a table a record of samples against time, in words; null where it is none. */
export function timeRecordWords(
  header: readonly ColumnHeader[],
  nearest: readonly Line[],
  saysSampleRate: boolean,
  statements: readonly Statement[],
  table: NumberTable,
): string | null {
  const frequency = header.some((column) => column.role === 'frequency');
  const time = header.find((column) => column.role === 'time');
  if (nearest.some(({ text }) => /(?:^|[,;\t"])\s*(?:increment|sequence)\s*(?:$|[,;\t"])/i.test(text)))
    return 'samples in sequence, with a start and an increment';
  if (time !== undefined && !frequency)
    return `samples against time (column “${time.name === '' ? 'without a name' : time.name}”)`;
  if (!saysSampleRate || frequency || contradictsRate(statements, header, table)) return null;
  return 'samples whose rate or time scale the preamble states';
}

export interface TimeContext {
  readonly file: string;
  readonly header: readonly ColumnHeader[];
  /** Lines right above the table. */
  readonly nearest: readonly Line[];
  readonly statements: readonly Statement[];
  readonly takenAt: string | null;
  readonly hints: ReadingHints;
}

/**
 * The recording in a table of samples: its times from a column, from start and increment in the header, from a stated interval or
 * rate, or from the user, in this order; every other column that is no row number is a channel.
 *
 * A column called Frequency whose unit row says ms is a time column: the unit row is believed. Throws InputError.
 */
export function readTimeTable(
  table: NumberTable,
  words: string,
  { file, header, nearest, statements, takenAt, hints }: TimeContext,
  layout: string,
  before: readonly string[],
): ReadCapture {
  const warnings = [...before];
  const filled = table.columns.flatMap((column, c) => (column.every((v) => Number.isNaN(v)) ? [] : [c]));
  const increment = incrementIn(nearest);
  const rate =
    hints.sampleRateHz ?? (increment === null ? rateIn(statements) : Number((1 / increment.stepS).toPrecision(12)));
  const named = filled.find((c) => header[c]?.role === 'time');
  const axis = named ?? unnamedAxis(table, filled, header, rate, increment !== null);
  if (named !== undefined && /freq/i.test(header[named]!.name))
    warnings.push(
      `Column ${named + 1} is called “${header[named]!.name}”, but its unit is one of time: it is a time record.`,
    );
  const isIndex = (c: number): boolean =>
    header[c]?.role === 'index' ||
    (c < filled[filled.length - 1]! && filled.length > 1 && isCounting(table.columns[c]!));
  const channels = filled.flatMap((c): TimeChannel[] => {
    if (c === axis || isIndex(c)) return [];
    const { name, unit } = channelWords(header[c], increment?.names[c] ?? '', c);
    if (unit === 'unknown') warnings.push(`The file states no unit for column ${c + 1}.`);
    return [{ name, unit, values: table.columns[c]! }];
  });
  const factor = axis === null ? 1 : (header[axis]?.timeFactor ?? horizontalUnit(statements) ?? 1);
  if (axis !== null && header[axis]?.timeFactor == null && horizontalUnit(statements) === null)
    warnings.push('The time column has no unit; it is taken to be in seconds.');
  return timeRecord(
    {
      timeS: axis === null ? null : timesIn(table.columns[axis]!, factor),
      rateHz: rate,
      channels,
      takenAt,
      stated: statements
        .filter(({ field }) => field === 'sampleRate')
        .map(({ key, values }) => ({ name: key, value: values.join(' ').slice(0, 80) })),
    },
    file,
    `${layout}; ${words}`,
    warnings,
  );
}

function timesIn(column: Float64Array, factor: number): Float64Array {
  return factor === 1 ? column : column.map((t) => t * factor);
}

/** `X,CH1,Start,Increment` over `Sequence,Volt,-3e-07,5e-10`: the step stands under its name. */
function incrementIn(nearest: readonly Line[]): { stepS: number; names: readonly string[] } | null {
  for (const [l, { text }] of nearest.entries()) {
    const mark = [',', ';', '\t'].find((candidate) => text.includes(candidate));
    if (mark === undefined) continue;
    const names = splitAt(text, mark);
    const at = names.findIndex((cell) => /^(?:x ?)?increment$|^delta ?t?$|^dt$/i.test(cell));
    const below = at < 0 ? undefined : nearest[l + 1];
    const value = below === undefined ? '' : (splitAt(below.text, mark)[at] ?? '');
    if (isNumber(value) && Number(value) > 0) return { stepS: Number(value), names };
  }
  return null;
}

const RATE_PREFIX: Readonly<Record<string, number>> = { k: 1e3, M: 1e6, G: 1e9, '': 1 };

/** A spectrum's preamble may state the rate of the samples it was made of: then the steps of a rising column are not those of the samples. */
function contradictsRate(
  statements: readonly Statement[],
  header: readonly ColumnHeader[],
  table: NumberTable,
): boolean {
  const rate = rateIn(statements);
  const filled = table.columns.flatMap((column, c) => (column.every((v) => Number.isNaN(v)) ? [] : [c]));
  const axis = unnamedAxis(table, filled, header, rate, false);
  if (rate === null || axis === null) return false;
  const column = table.columns[axis]!;
  const step = (column[column.length - 1]! - column[0]!) / (column.length - 1);
  const factor = horizontalUnit(statements) ?? 1;
  return Math.abs(step * factor * rate - 1) > 0.01;
}

/** Samples a second from a stated rate or interval; two that contradict each other give none. */
function rateIn(statements: readonly Statement[]): number | null {
  const rates = statements.flatMap(({ field, key, keyUnit, values }) => {
    if (field !== 'sampleRate') return [];
    const read = numberWithUnit(values[0]!);
    if (read === null || !(read.value > 0)) return [];
    const unit = (read.unit !== '' ? read.unit : keyUnit !== '' ? keyUnit : (values[1] ?? '')).trim();
    const plain = plainKey(key);
    if (/interval|period/.test(plain)) return [1 / (read.value * (timeFactor(unit) ?? 1))];
    if (!/rate|frequency|^fs$/.test(plain)) return [];
    const prefix = /^([kMG]?)(?:Hz|Sa?\/s|sps|samples)/i.exec(unit)?.[1] ?? '';
    return [read.value * (RATE_PREFIX[prefix.replace('K', 'k').replace('m', 'M').replace('g', 'G')] ?? 1)];
  });
  const distinct = [...new Set(rates.map((rate) => Number(rate.toPrecision(9))))];
  return distinct.length === 1 ? distinct[0]! : null;
}

function horizontalUnit(statements: readonly Statement[]): number | null {
  const stated = statements.find(({ field, key }) => field === 'sampleRate' && /horizontal units?/i.test(key));
  return stated === undefined ? null : timeFactor(stated.values[0]!);
}

/** A first column without a name that rises throughout, beside others, and is no row count: the times. */
function unnamedAxis(
  table: NumberTable,
  filled: readonly number[],
  header: readonly ColumnHeader[],
  rate: number | null,
  hasIncrement: boolean,
): number | null {
  if (hasIncrement) return null;
  const first = filled[0]!;
  const column = table.columns[first]!;
  if (filled.length < 2 || header[first]?.role === 'level' || directionOf(column) !== 1) return null;
  return isCounting(column) && rate !== null ? null : first;
}

/** A channel's name and unit: a level unit as it is known here, else what stands in brackets or behind a slash, as written. */
function channelWords(column: ColumnHeader | undefined, beside: string, c: number): { name: string; unit: string } {
  const plain = (text: string): string => text.replaceAll('"', '').replace(/\s+/g, ' ').trim();
  const name = plain(column?.name ?? '') || beside || `column ${c + 1}`;
  if (column?.levelUnit != null) return { name, unit: column.levelUnit.name };
  const inBrackets = /[([]\s*([^)\]]{1,12}?)\s*[)\]]/.exec(column?.written ?? '')?.[1];
  const behindSlash = /^(.*\S)\s*\/\s*([^/\s]{1,8})$/.exec(name);
  if (inBrackets !== undefined) return { name, unit: inBrackets };
  return behindSlash === null ? { name, unit: 'unknown' } : { name: behindSlash[1]!, unit: behindSlash[2]! };
}
