import type { Database } from 'better-sqlite3';
import type { MeasuringPoint } from '../model/measuring-point.ts';
import type { ChangeLog } from './change-log.ts';
import { EntityStore } from './entity-store.ts';
import { dependantsOf, nameIsTaken } from './rests-on.ts';
import { demandedBy, renameInScopes } from './scope-names.ts';

/** Where spectra are taken; captures rest on them, requirements and acceptances name them. */
export function pointStore(db: Database, log: ChangeLog): EntityStore<MeasuringPoint> {
  return new EntityStore<MeasuringPoint>(db, log, {
    subject: 'point',
    columns: () => ({}),
    nameOf: (point) => point.name,
    wrongWith: ({ name }, id) =>
      nameIsTaken(db, 'point', name, id)
        ? { found: 'this name a second time', expected: 'each point by its own name', wayOut: 'Rename it.' }
        : null,
    restsOn: (id) =>
      dependantsOf(db, id, [
        { what: 'capture', query: 'SELECT count(*) FROM capture WHERE point_id = ? AND gone = 0' },
      ]) ??
      demandedBy(
        db,
        'points',
        db.prepare(`SELECT json_extract(body, '$.name') FROM point WHERE id = ?`).pluck().get(id) as string,
      ),
    renamed: (from, to) => renameInScopes(db, log, 'points', from, to),
  });
}
