import type { Database } from 'better-sqlite3';
import type { AdoptedPlan } from '../model/adopted-plan.ts';
import type { ChangeLog } from './change-log.ts';
import { EntityStore } from './entity-store.ts';
import { isThere } from './rests-on.ts';

/** Plans that were adopted: what was decided, and what was predicted then. */
export function planStore(db: Database, log: ChangeLog): EntityStore<AdoptedPlan> {
  return new EntityStore<AdoptedPlan>(db, log, {
    subject: 'plan',
    columns: (plan) => ({ state_id: plan.stateId }),
    nameOf: (plan) => plan.title,
    wrongWith: ({ stateId }) =>
      stateId !== null && !isThere(db, 'state', stateId)
        ? { found: `no state ${stateId}`, expected: 'a state that is there', wayOut: 'Choose another state.' }
        : null,
    restsOn: () => null,
  });
}
