import type { Database } from 'better-sqlite3';
import type { Fix } from '../model/build-state.ts';
import type { ChangeLog } from './change-log.ts';
import { EntityStore } from './entity-store.ts';
import { isThere } from './rests-on.ts';

/** What was changed between two states. */
export function fixStore(db: Database, log: ChangeLog): EntityStore<Fix> {
  return new EntityStore<Fix>(db, log, {
    subject: 'fix',
    columns: (fix) => ({ from_state_id: fix.fromStateId, to_state_id: fix.toStateId }),
    nameOf: (fix) => fix.change,
    wrongWith: ({ fromStateId, toStateId }) => {
      for (const id of [fromStateId, toStateId])
        if (!isThere(db, 'state', id))
          return { found: `no state ${id}`, expected: 'two states that are there', wayOut: 'Choose another state.' };
      return fromStateId === toStateId
        ? { found: 'one state on both sides', expected: 'two states', wayOut: 'Make the state after the fix first.' }
        : null;
    },
    restsOn: () => null,
  });
}
