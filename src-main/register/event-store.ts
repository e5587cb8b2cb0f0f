import type { Database } from 'better-sqlite3';
import type { EnvironmentEvent } from '../model/build-state.ts';
import type { ChangeLog } from './change-log.ts';
import { EntityStore } from './entity-store.ts';
import { isThere } from './rests-on.ts';

/** What happened to the build: vibration, thermal vacuum, rework … */
export function eventStore(db: Database, log: ChangeLog): EntityStore<EnvironmentEvent> {
  return new EntityStore<EnvironmentEvent>(db, log, {
    subject: 'event',
    columns: (event) => ({ after_state_id: event.afterStateId }),
    nameOf: (event) => event.kind,
    wrongWith: ({ afterStateId }) =>
      afterStateId !== null && !isThere(db, 'state', afterStateId)
        ? { found: `no state ${afterStateId}`, expected: 'a state that is there', wayOut: 'Choose another state.' }
        : null,
    restsOn: () => null,
  });
}
