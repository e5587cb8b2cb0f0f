import type { Database } from 'better-sqlite3';
import type { PacketRecord } from '../model/freeze.ts';
import type { Recheck } from '../model/recheck.ts';
import type { ReviewNote } from '../model/review-note.ts';
import type { ChangeLog } from './change-log.ts';
import { EntityStore, type Wrong } from './entity-store.ts';

/** Packets that were written; a record stays for good. */
export function packetStore(db: Database, log: ChangeLog): EntityStore<PacketRecord> {
  return new EntityStore<PacketRecord>(db, log, {
    subject: 'packet',
    columns: ({ freezeId }) => ({ freeze_id: freezeId }),
    nameOf: ({ folder }) => folder,
    wrongWith: ({ freezeId }) => mustBeFrozen(db, freezeId),
    restsOn: () => 'a packet that was handed out',
  });
}

/** Re-checks after environment events. */
export function recheckStore(db: Database, log: ChangeLog): EntityStore<Recheck> {
  return new EntityStore<Recheck>(db, log, {
    subject: 'recheck',
    columns: ({ freezeId, eventId }) => ({ freeze_id: freezeId, event_id: eventId }),
    nameOf: ({ eventId }) => `after event ${eventId}`,
    wrongWith: ({ freezeId }) => mustBeFrozen(db, freezeId),
    restsOn: () => null,
  });
}

/** What was decided, asked and given out to do in a review. */
export function reviewNoteStore(db: Database, log: ChangeLog): EntityStore<ReviewNote> {
  return new EntityStore<ReviewNote>(db, log, {
    subject: 'review_note',
    columns: ({ freezeId }) => ({ freeze_id: freezeId }),
    nameOf: ({ kind, text }) => `${kind} “${text.length > 40 ? `${text.slice(0, 40)}…` : text}”`,
    wrongWith: ({ freezeId, kind, by, owner }) => {
      if (kind === 'decision' && by.length === 0)
        return { found: 'a decision without a name', expected: 'the names of those who decided', wayOut: 'Name them.' };
      if (kind === 'action' && owner.trim() === '')
        return { found: 'an action without an owner', expected: 'who has it', wayOut: 'Name the owner.' };
      return freezeId === null ? null : mustBeFrozen(db, freezeId);
    },
    restsOn: () => null,
  });
}

function mustBeFrozen(db: Database, freezeId: number): Wrong | null {
  return db.prepare('SELECT 1 FROM freeze WHERE id = ? AND gone = 0').get(freezeId) === undefined
    ? { found: `no frozen revision ${freezeId}`, expected: 'a revision that is there', wayOut: 'Freeze a state first.' }
    : null;
}
