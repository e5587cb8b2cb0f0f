import type { Database } from 'better-sqlite3';
import type { BuildState } from '../model/build-state.ts';
import type { ChangeLog } from './change-log.ts';
import { EntityStore, type Wrong } from './entity-store.ts';
import { dependantsOf, isThere, nameIsTaken } from './rests-on.ts';

/** Build states with their configuration; captures, fixes, events and later states rest on them. */
export function stateStore(db: Database, log: ChangeLog): EntityStore<BuildState> {
  return new EntityStore<BuildState>(db, log, {
    subject: 'state',
    columns: (state) => ({ parent_id: state.parentId }),
    nameOf: (state) => state.name,
    wrongWith: ({ name, parentId }, id) => {
      if (nameIsTaken(db, 'state', name, id))
        return { found: 'this name a second time', expected: 'each state by its own name', wayOut: 'Rename it.' };
      return parentId === null ? null : wrongParent(db, parentId, id);
    },
    restsOn: (id) =>
      dependantsOf(db, id, [
        { what: 'capture', query: 'SELECT count(*) FROM capture WHERE state_id = ? AND gone = 0' },
        { what: 'later state', query: 'SELECT count(*) FROM state WHERE parent_id = ? AND gone = 0' },
        {
          what: 'fix',
          query: 'SELECT count(*) FROM fix WHERE ? IN (from_state_id, to_state_id) AND gone = 0',
        },
        { what: 'event', query: 'SELECT count(*) FROM event WHERE after_state_id = ? AND gone = 0' },
        { what: 'plan', query: 'SELECT count(*) FROM plan WHERE state_id = ? AND gone = 0' },
      ]),
  });
}

function wrongParent(db: Database, parentId: number, id: number | null): Wrong | null {
  const parentOf = db.prepare('SELECT parent_id FROM state WHERE id = ?').pluck();
  if (!isThere(db, 'state', parentId))
    return { found: `no state ${parentId} to come from`, expected: 'a state that is there', wayOut: 'Choose another.' };
  for (let at: number | null = parentId; at !== null; at = parentOf.get(at) as number | null)
    if (at === id)
      return {
        found: 'a state that comes from itself',
        expected: 'a line from earlier to later',
        wayOut: 'Choose an earlier state.',
      };
  return null;
}
