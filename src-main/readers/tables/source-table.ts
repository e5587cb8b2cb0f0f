import type { Source, SourceLock } from '../../model/source.ts';
import { InputError } from '../../model/input-problem.ts';
import { checkRegister } from '../../model/check-source.ts';
import { parseTable, writeTable, type TableRow } from './table.ts';

export const SOURCE_COLUMNS = [
  'designator',
  'kind',
  'nominal_hz',
  'tolerance_ppm',
  'drift_ppm_per_k',
  'spread_ppm',
  'locked_to',
  'lock_numerator',
  'lock_denominator',
  'duty',
  'rise_s',
  'max_harmonic',
  'adjust_low_hz',
  'adjust_high_hz',
  'adjust_step_hz',
  'fed_by',
  'owner',
  'serial',
  'notes',
] as const;

/**
 * Sources from their table. A repeated designator, a lock or feed to an unknown one, or a circle of locks or feeds refuses the
 * whole table: half a register is worse than none.
 *
 * @throws InputError
 */
export function parseSourceTable(text: string, file: string): Source[] {
  const rows = parseTable(text, file, SOURCE_COLUMNS, ['designator', 'kind', 'nominal_hz']);
  const sources = rows.map(sourceOf);
  for (const [index, source] of sources.entries()) {
    const [problem] = checkRegister(
      source,
      sources.filter((_, other) => other !== index),
    );
    if (problem !== undefined)
      throw new InputError({
        file,
        place: `line ${rows[index]!.line}, column ${COLUMN_OF_FIELD[problem.field] ?? problem.field}`,
        found: problem.found,
        expected: problem.expected,
        wayOut: problem.wayOut,
      });
  }
  return sources;
}

/** The table's column for a field of Source. */
const COLUMN_OF_FIELD: Readonly<Record<string, string>> = {
  designator: 'designator',
  lock: 'locked_to',
  fedBy: 'fed_by',
  nominalHz: 'nominal_hz',
  adjust: 'adjust_low_hz',
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
    nominalHz: row.requiredNumber('nominal_hz', 0, 1e12, false),
    tolerancePpm: row.number('tolerance_ppm', 0, 500_000),
    driftPpmPerK: row.number('drift_ppm_per_k', -100_000, 100_000),
    spreadPpm: row.number('spread_ppm', 0, 1e6),
    lock: lockOf(row),
    duty: row.number('duty', 0, 1),
    riseS: row.number('rise_s', 0, 1),
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
  const value = row.number(column, 1, 1e9);
  if (value !== null && !Number.isInteger(value))
    throw row.problem(column, `“${row.text(column)}”`, 'a whole number', 'Write it without decimals.');
  return value;
}

/** The table of these sources; parseSourceTable reads it back to the same values. */
export function writeSourceTable(sources: readonly Source[]): string {
  return writeTable(
    SOURCE_COLUMNS,
    sources.map((s) => [
      s.designator,
      s.kind,
      s.nominalHz,
      s.tolerancePpm,
      s.driftPpmPerK,
      s.spreadPpm,
      s.lock?.to ?? null,
      s.lock?.numerator ?? null,
      s.lock?.denominator ?? null,
      s.duty,
      s.riseS,
      s.maxHarmonic,
      s.adjust?.lowHz ?? null,
      s.adjust?.highHz ?? null,
      s.adjust?.stepHz ?? null,
      s.fedBy,
      s.owner,
      s.serial,
      s.notes,
    ]),
  );
}
