import type { Source } from './source.ts';

type Cell = string | number | null;

/**
 * The fields of a source as the columns of its table: one list for the table that is read and written, for the document, and for the
 * packet. Units stand in the names.
 */
const COLUMNS = {
  designator: (s) => s.designator,
  kind: (s) => s.kind,
  nominal_hz: (s) => s.nominalHz,
  tolerance_ppm: (s) => s.tolerancePpm,
  drift_ppm_per_k: (s) => s.driftPpmPerK,
  spread_ppm: (s) => s.spreadPpm,
  locked_to: (s) => s.lock?.to ?? null,
  lock_numerator: (s) => s.lock?.numerator ?? null,
  lock_denominator: (s) => s.lock?.denominator ?? null,
  duty: (s) => s.duty,
  rise_s: (s) => s.riseS,
  max_harmonic: (s) => s.maxHarmonic,
  adjust_low_hz: (s) => s.adjust?.lowHz ?? null,
  adjust_high_hz: (s) => s.adjust?.highHz ?? null,
  adjust_step_hz: (s) => s.adjust?.stepHz ?? null,
  fed_by: (s) => s.fedBy,
  owner: (s) => s.owner,
  serial: (s) => s.serial,
  notes: (s) => s.notes,
} satisfies Record<string, (source: Source) => Cell>;

export type SourceColumn = keyof typeof COLUMNS;

/** In the order of the table. */
export const SOURCE_COLUMNS = Object.keys(COLUMNS) as readonly SourceColumn[];

/** The cells of a source in the order of these columns. */
export function sourceCells(source: Source, columns: readonly SourceColumn[] = SOURCE_COLUMNS): Cell[] {
  return columns.map((column) => COLUMNS[column](source));
}
