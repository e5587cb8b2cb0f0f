import type { Database } from 'better-sqlite3';
import type { Decision } from '../model/decision.ts';
import type { ChangeLog } from './change-log.ts';
import { EntityStore } from './entity-store.ts';
import { isThere } from './rests-on.ts';

/** What engineers decided about spurs. */
export function decisionStore(db: Database, log: ChangeLog): EntityStore<Decision> {
  return new EntityStore<Decision>(db, log, {
    subject: 'decision',
    columns: (decision) => ({ capture_id: decision.captureId }),
    nameOf: (decision) => `${decision.kind} at ${(decision.frequencyHz / 1e6).toFixed(6)} MHz`,
    wrongWith: ({ captureId }) =>
      isThere(db, 'capture', captureId)
        ? null
        : { found: `no capture ${captureId}`, expected: 'a capture that is there', wayOut: 'Choose another capture.' },
    restsOn: () => null,
  });
}
