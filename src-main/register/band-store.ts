import type { Database } from 'better-sqlite3';
import type { Band } from '../model/band.ts';
import type { ChangeLog } from './change-log.ts';
import { EntityStore } from './entity-store.ts';
import { nameIsTaken } from './rests-on.ts';
import { demandedBy, renameInScopes } from './scope-names.ts';

export type KeptBand = Band & { readonly id: number };

/** Protected receive bands; requirements and acceptances name them. */
export function bandStore(db: Database, log: ChangeLog): EntityStore<KeptBand> {
  return new EntityStore<KeptBand>(db, log, {
    subject: 'band',
    columns: () => ({}),
    nameOf: (band) => band.name,
    wrongWith: ({ name, lowHz, highHz }, id) => {
      if (nameIsTaken(db, 'band', name, id))
        return { found: 'this name a second time', expected: 'each band by its own name', wayOut: 'Rename it.' };
      return highHz > lowHz
        ? null
        : { found: `${lowHz} … ${highHz} Hz`, expected: 'a range from low to high', wayOut: 'Exchange the two ends.' };
    },
    restsOn: (id) =>
      demandedBy(
        db,
        'bands',
        db.prepare(`SELECT json_extract(body, '$.name') FROM band WHERE id = ?`).pluck().get(id) as string,
      ),
    renamed: (from, to) => renameInScopes(db, log, 'bands', from, to),
  });
}
