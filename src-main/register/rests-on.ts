import type { Database } from 'better-sqlite3';

/** How many present rows rest on one row: `query` counts them for the number bound to it. */
export interface Dependants {
  readonly what: string;
  readonly query: string;
}

/** One phrase saying what rests on a row, or null where nothing does. */
export function dependantsOf(db: Database, id: number, kinds: readonly Dependants[]): string | null {
  const found = kinds
    .map(({ what, query }) => ({ what, n: db.prepare(query).pluck().get(id) as number }))
    .filter(({ n }) => n > 0)
    .map(({ what, n }) => `${n} ${what}${n === 1 ? '' : what === 'fix' ? 'es' : 's'}`);
  return found.length === 0 ? null : `${found.join(' and ')} resting on it`;
}

/** True where another present row of the table has the same name. */
export function nameIsTaken(
  db: Database,
  table: 'state' | 'point' | 'band' | 'calibration' | 'chain',
  name: string,
  id: number | null,
): boolean {
  return (
    db
      .prepare(`SELECT 1 FROM ${table} WHERE gone = 0 AND id IS NOT ? AND json_extract(body, '$.name') = ?`)
      .get(id, name) !== undefined
  );
}

/** True where a row with this number is present. */
export function isThere(db: Database, table: 'state' | 'point' | 'capture', id: number): boolean {
  return db.prepare(`SELECT 1 FROM ${table} WHERE id = ? AND gone = 0`).get(id) !== undefined;
}
