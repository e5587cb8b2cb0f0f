import { InputError } from '../../model/input-problem.ts';
import type { LevelUnit } from '../../model/level-unit.ts';
import type { Trace } from '../../model/trace.ts';
import { axisFromColumn, axisFromStatements, type Axis, type CompanionAxis } from './axis.ts';
import { isCounting, type ColumnHeader } from './columns.ts';
import type { NumberTable } from './find-tables.ts';
import { decideUnit } from './level-unit.ts';
import type { Preamble } from './preamble.ts';

/** What is common to all traces of a block. */
export interface BlockContext {
  readonly file: string;
  readonly header: readonly ColumnHeader[];
  readonly preamble: Preamble;
  readonly companion: CompanionAxis | null;
  /** The level unit a header file beside the capture states. */
  readonly unitBeside: LevelUnit | null;
  /** Put before every label, '' for a file of one block. */
  readonly blockName: string;
}

/** The traces of one block of rows: every level column over its frequency column. Throws InputError. */
export function tracesOfBlock(
  table: NumberTable,
  axisColumn: number | null,
  context: BlockContext,
  warnings: string[],
): Trace[] {
  const { file, header, preamble } = context;
  const columns = withoutEmptyColumns(table.columns);
  const levelColumns = findLevelColumns(columns, axisColumn, header, warnings);
  if (levelColumns.length === 0)
    throw new InputError({
      file,
      place: `line ${table.firstLine + 1}`,
      found: 'a frequency column alone',
      expected: 'at least one column of levels beside it',
      wayOut: 'Export frequency and level together.',
    });
  const axes = new Map<number | null, Axis>();
  const axisOf = (level: number): Axis => {
    const c = nearestAxis(level, axisColumn, columns, header);
    let axis = axes.get(c);
    if (axis === undefined) {
      axis =
        c === null
          ? axisFromStatements(table, preamble, context.companion, file, warnings)
          : axisFromColumn(columns[c]!, c, header, preamble, table, file, warnings);
      axes.set(c, axis);
    }
    return axis;
  };
  const varying = levelColumns.some((c) => !isConstant(columns[c]!));
  const traces: Trace[] = [];
  let blank = 0;
  for (const [t, c] of levelColumns.entries()) {
    const { frequencyHz, descending } = axisOf(c);
    // the column is the reader's own array: it is turned and blanked in place
    const level = columns[c]!;
    if (descending) level.reverse();
    const name = preamble.nameOf(t, levelColumns.length) ?? header[c]?.name ?? '';
    const sentinel = blankSentinels(level);
    if (sentinel.all) {
      blank++;
      continue;
    }
    if (varying && isConstant(level))
      warnings.push(
        `Column ${c + 1}${name === '' ? '' : ` (“${name}”)`} holds one and the same number throughout: a limit line or a blank trace?`,
      );
    if (sentinel.count > 0)
      warnings.push(
        `${sentinel.count} point(s) of column ${c + 1} hold ${sentinel.value}, a mark for “no value”; they count as blank.`,
      );
    const unit = decideUnit(level, header[c], t, levelColumns.length, preamble, context.unitBeside);
    const settings = preamble.settingsFor(t, levelColumns.length, header[c]?.written ?? '');
    warnings.push(...unit.warnings, ...settings.warnings);
    const label = [name, context.blockName].filter((part) => part !== '').join(', ');
    traces.push({ label, frequencyHz, level, unit: unit.unit, settings: settings.settings });
  }
  if (traces.length === 0)
    throw new InputError({
      file,
      place: `line ${table.firstLine + 1}`,
      found: 'no level in any column',
      expected: 'at least one trace that is not blank',
      wayOut: 'Export a trace that is switched on.',
    });
  if (blank > 0) warnings.push(`${blank} of ${levelColumns.length} traces are blank and were left out.`);
  return traces;
}

/** Columns that are empty in every row (trailing delimiters) are none. Their place is kept so that headers still fit. */
export function withoutEmptyColumns(columns: readonly Float64Array[]): (Float64Array | null)[] {
  return columns.map((column) => (column.every((v) => Number.isNaN(v)) ? null : column));
}

function findLevelColumns(
  columns: readonly (Float64Array | null)[],
  axis: number | null,
  header: readonly ColumnHeader[],
  warnings: string[],
): number[] {
  const named = header.some((column) => column.role === 'level');
  return columns.flatMap((column, c) => {
    if (c === axis || column === null) return [];
    const { role, name } = header[c] ?? { role: 'unknown', name: '' };
    if (role === 'index' || role === 'frequency') return [];
    if (role === 'other' || role === 'time') {
      warnings.push(`Column ${c + 1} (“${name}”) is no spectrum and was left out.`);
      return [];
    }
    // a row number before the axis, or beside levels whose axis is computed
    const mayCount = axis === null ? columns.length > 1 : c < axis;
    if (role === 'unknown' && mayCount && (isCounting(column) || (named && name === ''))) return [];
    return [c];
  });
}

/** In a header that names several frequency columns, each level belongs to the nearest before it. */
function nearestAxis(
  level: number,
  axis: number | null,
  columns: readonly (Float64Array | null)[],
  header: readonly ColumnHeader[],
): number | null {
  if (axis === null) return null;
  for (let c = level - 1; c >= 0; c--) if (columns[c] !== null && header[c]?.role === 'frequency') return c;
  return axis;
}

function isConstant(column: Float64Array): boolean {
  for (let i = 1; i < column.length; i++) if (column[i] !== column[0]) return false;
  return true;
}

/** No level in decibels lies so low (thermal noise is −204 dBW/Hz), and no number is so high: marks for “no value”. */
const LOWEST_LEVEL = -400;
const HIGHEST_NUMBER = 1e30;

/** Marks for “no value” become NaN in place. `all` is true where no number is left. */
function blankSentinels(level: Float64Array): { count: number; all: boolean; value: number } {
  let count = 0;
  let blank = 0;
  let value = NaN;
  for (let i = 0; i < level.length; i++) {
    const v = level[i]!;
    if (v > LOWEST_LEVEL && v < HIGHEST_NUMBER) continue;
    blank++;
    if (Number.isNaN(v)) continue;
    value = v;
    level[i] = NaN;
    count++;
  }
  return { count, all: blank === level.length, value };
}
