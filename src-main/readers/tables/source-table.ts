import type { Source, SourceLock } from '../../model/source.ts';
import { InputError } from '../../model/input-problem.ts';
import { checkSources, MOST_HARMONICS, SOURCE_LIMITS } from '../../model/check-source.ts';
import { SOURCE_COLUMNS, sourceCells } from '../../model/source-columns.ts';
import { resolvedFrequency } from '../../model/source-tree.ts';
import { parseTable, strictRows, writeTable, type TableContents, type TableRow } from './table.ts';

/** A nominal frequency this far from what its lock gives, relative, is more than rounding. A choice of this tool. */
const LOCK_DISAGREEMENT = 1e-3;

/**
 * Sources from their table. A repeated designator, a lock or feed to an unknown one, or a circle of locks or feeds refuses the
 * whole table: half a register is worse than none. Unknown columns, and nominal frequencies that contradict a lock, are warnings.
 *
 * @throws InputError with line and column
 */
export function readSourceTable(text: string, file: string): TableContents<Source> {
  const { rows, warnings } = parseTable(text, file, SOURCE_COLUMNS, ['designator', 'kind', 'nominal_hz']);
  const sources = rows.map(sourceOf);
  const [problem] = checkSources(sources);
  if (problem !== undefined)
    throw new InputError({
      file,
      place: `line ${rows[problem.index]!.line}, column ${COLUMN_OF_FIELD[problem.field] ?? problem.field}`,
      found: problem.found,
      expected: problem.expected,
      wayOut: problem.wayOut,
    });
  return { rows: sources, warnings: [...warnings, ...lockWarnings(sources)] };
}

/** The sources of a table alone, for a caller that has no place for warnings; see strictRows. @throws InputError */
export function parseSourceTable(text: string, file: string): Source[] {
  return strictRows(readSourceTable(text, file), file);
}

function lockWarnings(sources: readonly Source[]): string[] {
  return sources.flatMap((source) => {
    const resolved = resolvedFrequency(source, sources);
    if (source.lock === null || resolved === null) return [];
    const { frequencyHz, root, numerator, denominator } = resolved;
    if (Math.abs(source.nominalHz / frequencyHz - 1) <= LOCK_DISAGREEMENT) return [];
    return [
      `${source.designator}: nominal_hz says ${source.nominalHz} Hz, its lock ${root} × ${numerator} / ${denominator} gives ${frequencyHz} Hz; the lock holds.`,
    ];
  });
}

/** The table's column for a field of Source. */
const COLUMN_OF_FIELD: Readonly<Record<string, string>> = {
  designator: 'designator',
  lock: 'locked_to',
  fedBy: 'fed_by',
  nominalHz: 'nominal_hz',
  adjust: 'adjust_low_hz',
  maxHarmonic: 'max_harmonic',
};

function sourceOf(row: TableRow): Source {
  const low = row.number('adjust_low_hz', 0, Infinity, false);
  const high = row.number('adjust_high_hz', 0, Infinity, false);
  const step = row.number('adjust_step_hz', 0, Infinity, false);
  if ((low === null) !== (high === null))
    throw row.problem(
      low === null ? 'adjust_low_hz' : 'adjust_high_hz',
      'nothing',
      'both ends of the range',
      'Fill in both adjust_low_hz and adjust_high_hz, or neither.',
    );
  return {
    designator: row.required('designator'),
    kind: row.oneOf('kind', ['converter', 'clock', 'other'], null),
    nominalHz: row.requiredNumber('nominal_hz', 0, SOURCE_LIMITS.nominalHz[1], false),
    tolerancePpm: row.number('tolerance_ppm', ...SOURCE_LIMITS.tolerancePpm),
    driftPpmPerK: row.number('drift_ppm_per_k', ...SOURCE_LIMITS.driftPpmPerK),
    spreadPpm: row.number('spread_ppm', ...SOURCE_LIMITS.spreadPpm),
    lock: lockOf(row),
    duty: row.number('duty', ...SOURCE_LIMITS.duty),
    riseS: row.number('rise_s', ...SOURCE_LIMITS.riseS),
    maxHarmonic: wholeOrNull(row, 'max_harmonic'),
    adjust: low === null || high === null ? null : { lowHz: low, highHz: high, stepHz: step },
    fedBy: row.textOrNull('fed_by'),
    owner: row.oneOf('owner', ['ours', 'host', 'support', 'facility'], 'ours'),
    serial: row.text('serial'),
    notes: row.text('notes'),
  };
}

function lockOf(row: TableRow): SourceLock | null {
  const to = row.textOrNull('locked_to');
  const numerator = wholeOrNull(row, 'lock_numerator');
  const denominator = wholeOrNull(row, 'lock_denominator');
  if (to === null) {
    if (numerator !== null || denominator !== null)
      throw row.problem(
        'locked_to',
        'nothing beside a ratio',
        'the designator it is locked to',
        'Name the master, or take the ratio out.',
      );
    return null;
  }
  return { to, numerator: numerator ?? 1, denominator: denominator ?? 1 };
}

function wholeOrNull(row: TableRow, column: string): number | null {
  const value = row.number(column, 1, MOST_HARMONICS);
  if (value !== null && !Number.isInteger(value))
    throw row.problem(column, `“${row.text(column)}”`, 'a whole number', 'Write it without decimals.');
  return value;
}

/** The table of these sources; readSourceTable reads it back to the same values. */
export function writeSourceTable(sources: readonly Source[]): string {
  return writeTable(
    SOURCE_COLUMNS,
    sources.map((source) => sourceCells(source)),
  );
}
