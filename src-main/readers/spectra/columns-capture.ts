import { UNKNOWN_SETTINGS, type ReadCapture } from '../../model/capture.ts';
import { InputError } from '../../model/input-problem.ts';
import type { ReadingHints } from '../../model/reading-hints.ts';
import { timeFactor } from '../../units/parse-unit.ts';
import { readHeader } from '../delimited/columns.ts';
import { timeRecord } from './time-record.ts';
import { orderAxis } from './axis-order.ts';
import { unitOfLevels } from './unit-of-levels.ts';

/** One column of a table, its name as the file gives it (with its unit in brackets or alone in `unit`). */
export interface NamedColumn {
  readonly name: string;
  readonly unit?: string;
  readonly values: Float64Array;
}

/** Numbers above this that rise throughout are no seconds of a bench record. Common practice, no source. */
const LEAST_SURE_FREQUENCY_HZ = 1e4;

/**
 * What a table of columns with one row a point is: a spectrum where a column is a frequency, a time record where it is a time.
 *
 * The axis is the column whose name or unit says so; without names the first one, taken as frequency in Hz where the user says so or
 * its numbers are too large for seconds.
 *
 * @throws InputError where no column is an axis, or nobody says what it is
 */
export function columnsCapture(
  columns: readonly NamedColumn[],
  file: string,
  hints: ReadingHints,
  layout: string,
): ReadCapture {
  const warnings: string[] = [];
  const heads = columns.map(({ name, unit }) => readHeader([[unit === undefined ? name : `${name} (${unit})`]], 1)[0]!);
  const frequency =
    hints.frequencyColumn === undefined
      ? heads.findIndex(({ role }) => role === 'frequency')
      : hints.frequencyColumn - 1;
  const time = heads.findIndex(({ role }) => role === 'time');
  const named = frequency >= 0 || time >= 0;
  const first = columns[0]!.values;
  const sure = Math.abs(first[first.length - 1]!) >= LEAST_SURE_FREQUENCY_HZ;
  const isTime = hints.axisIs === 'time' || (hints.axisIs === undefined && frequency < 0 && time >= 0);
  if (!named && hints.axisIs === undefined && !sure)
    throw new InputError({
      file,
      place: 'the first column',
      found: `numbers from ${first[0]!} to ${first[first.length - 1]!} without a name`,
      expected: 'a word that says whether they are frequencies or times',
      wayOut: 'Say when opening the file what the first column is, or save it with named columns.',
    });
  if (isTime) {
    const axis = Math.max(0, time);
    const others = columns.flatMap(({ name, values, unit }, c) =>
      c === axis || heads[c]!.role === 'index'
        ? []
        : [{ name: heads[c]!.name || name, unit: unit ?? heads[c]!.levelUnit?.name ?? 'unknown', values }],
    );
    const factor = timeUnit(columns[axis]!);
    const timeS = factor === 1 ? columns[axis]!.values : columns[axis]!.values.map((t) => t * factor);
    return timeRecord({ timeS, rateHz: null, channels: others, takenAt: null, stated: [] }, file, layout, warnings);
  }
  const axis = Math.max(0, frequency);
  const factor = hints.frequencyFactor ?? heads[axis]!.frequencyFactor;
  if (factor === null) warnings.push('The frequency column has no unit; it is taken to be in Hz.');
  const order = orderAxis(
    columns[axis]!.values.map((f) => f * (factor ?? 1)),
    `column ${axis + 1}`,
    file,
  );
  warnings.push(...order.warnings);
  const traces = columns.flatMap(({ name, unit, values }, c) => {
    if (c === axis || heads[c]!.role === 'index' || heads[c]!.role === 'time' || heads[c]!.role === 'other') return [];
    const level = Float64Array.from(order.from, (i) => (Number.isFinite(values[i]!) ? values[i]! : NaN));
    if (level.every(Number.isNaN)) return [];
    const stated = unit ?? heads[c]!.levelUnit?.name ?? null;
    return [
      {
        label: heads[c]!.name || name,
        frequencyHz: order.frequencyHz,
        level,
        unit: unitOfLevels(stated, hints.unit, level, warnings),
        settings: UNKNOWN_SETTINGS,
      },
    ];
  });
  if (traces.length === 0)
    throw new InputError({
      file,
      place: `column ${axis + 1}`,
      found: 'a frequency column alone',
      expected: 'at least one column of levels beside it',
      wayOut: 'Save frequency and level together.',
    });
  return { layout, traces, warnings: [...new Set(warnings)] };
}

/** Seconds a number of a time column stands for: by its unit, else the unit in its name, else seconds. */
function timeUnit({ name, unit }: NamedColumn): number {
  const text = unit ?? /[([]\s*([^)\]]+?)\s*[)\]]/.exec(name)?.[1] ?? /_([a-zµ]{1,2})$/.exec(name)?.[1] ?? 's';
  return timeFactor(text) ?? 1;
}
