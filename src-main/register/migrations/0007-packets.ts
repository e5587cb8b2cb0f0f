/** True where a freeze that stands holds this row. */
const heldBy = (subject: string, id: string): string =>
  `EXISTS (SELECT 1 FROM frozen JOIN freeze ON freeze.id = frozen.freeze_id WHERE frozen.subject = '${subject}' AND frozen.row_id = ${id}
    AND freeze.gone = 0 AND json_extract(freeze.body, '$.reopened') IS NULL)`;
/** True where a freeze that stands, or one that a packet was written from, rests on this row. */
const restsOn = (subject: string, id: string): string =>
  `EXISTS (SELECT 1 FROM frozen JOIN freeze ON freeze.id = frozen.freeze_id WHERE frozen.subject = '${subject}' AND frozen.row_id = ${id}
    AND freeze.gone = 0 AND (json_extract(freeze.body, '$.reopened') IS NULL
      OR EXISTS (SELECT 1 FROM packet WHERE packet.freeze_id = freeze.id AND packet.gone = 0)))`;

const kept = (subject: string): string => `
CREATE TRIGGER frozen_${subject}_is_kept BEFORE UPDATE ON ${subject}
  WHEN OLD.gone = 0 AND NEW.gone = 1 AND ${restsOn(subject, 'OLD.id')}
  BEGIN SELECT RAISE(ABORT, 'frozen: a frozen revision or a packet rests on it'); END;`;

const readOnly = (subject: string): string => `
CREATE TRIGGER frozen_${subject}_is_read_only BEFORE UPDATE ON ${subject}
  WHEN OLD.gone = 0 AND NEW.gone = 0 AND ${heldBy(subject, 'OLD.id')}
  BEGIN SELECT RAISE(ABORT, 'frozen: it belongs to a frozen revision and is read-only'); END;`;

const KEPT = [
  ...['source', 'band', 'point', 'event', 'fix', 'state', 'capture', 'decision'],
  ...['requirement', 'limit_line', 'disposition', 'calibration', 'chain', 'transfer'],
];

/**
 * Frozen states, packets, re-checks, review notes. What a freeze holds is guarded here and not in the program, so that no way
 * around it (undo, an import, another version of the program) can change it.
 */
export const PACKETS = `
CREATE TABLE freeze (
  id INTEGER PRIMARY KEY, contents_sha256 TEXT NOT NULL REFERENCES blob (sha256), revision INTEGER NOT NULL, body TEXT NOT NULL,
  gone INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE TABLE frozen (
  freeze_id INTEGER NOT NULL REFERENCES freeze (id), subject TEXT NOT NULL, row_id INTEGER NOT NULL,
  PRIMARY KEY (freeze_id, subject, row_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX frozen_row ON frozen (subject, row_id);
CREATE TABLE packet (
  id INTEGER PRIMARY KEY, freeze_id INTEGER NOT NULL REFERENCES freeze (id), revision INTEGER NOT NULL, body TEXT NOT NULL,
  gone INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE TABLE recheck (
  id INTEGER PRIMARY KEY, freeze_id INTEGER NOT NULL REFERENCES freeze (id), event_id INTEGER NOT NULL REFERENCES event (id),
  revision INTEGER NOT NULL, body TEXT NOT NULL, gone INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE TABLE review_note (
  id INTEGER PRIMARY KEY, freeze_id INTEGER REFERENCES freeze (id), revision INTEGER NOT NULL, body TEXT NOT NULL,
  gone INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE TRIGGER frozen_is_never_changed BEFORE UPDATE ON frozen BEGIN SELECT RAISE(ABORT, 'frozen: the list of what is frozen is never changed'); END;
CREATE TRIGGER frozen_is_never_deleted BEFORE DELETE ON frozen BEGIN SELECT RAISE(ABORT, 'frozen: the list of what is frozen is never changed'); END;
CREATE TRIGGER frozen_contents_are_kept BEFORE UPDATE ON freeze WHEN NEW.contents_sha256 <> OLD.contents_sha256
  BEGIN SELECT RAISE(ABORT, 'frozen: what was frozen is never changed'); END;
CREATE TRIGGER frozen_with_packet_is_kept BEFORE UPDATE ON freeze
  WHEN OLD.gone = 0 AND NEW.gone = 1 AND EXISTS (SELECT 1 FROM packet WHERE packet.freeze_id = OLD.id AND packet.gone = 0)
  BEGIN SELECT RAISE(ABORT, 'frozen: a packet rests on it'); END;
CREATE TRIGGER packet_is_kept BEFORE UPDATE ON packet WHEN NEW.gone = 1
  BEGIN SELECT RAISE(ABORT, 'frozen: a packet that was written stays on record'); END;
${KEPT.map(kept).join('')}
${['state', 'capture', 'decision'].map(readOnly).join('')}
CREATE TRIGGER frozen_fix_is_read_only BEFORE UPDATE ON fix
  WHEN OLD.gone = 0 AND NEW.gone = 0 AND ${heldBy('fix', 'OLD.id')}
    AND (NEW.from_state_id <> OLD.from_state_id OR NEW.to_state_id <> OLD.to_state_id
      OR ${['change', 'sources', 'by', 'at', 'notes'].map((field) => `json_extract(NEW.body, '$.${field}') IS NOT json_extract(OLD.body, '$.${field}')`).join(' OR ')}
      OR json_extract(OLD.body, '$.undoneAt') IS NOT NULL)
  BEGIN SELECT RAISE(ABORT, 'frozen: it belongs to a frozen revision; only that it was taken out later can be said'); END;
CREATE TRIGGER frozen_state_takes_no_capture BEFORE UPDATE ON capture
  WHEN NEW.gone = 0 AND NEW.state_id IS NOT OLD.state_id AND ${heldBy('state', 'NEW.state_id')}
  BEGIN SELECT RAISE(ABORT, 'frozen: no capture can be added to a frozen state'); END;
CREATE TRIGGER frozen_capture_takes_no_decision BEFORE INSERT ON decision
  WHEN ${heldBy('capture', 'NEW.capture_id')}
  BEGIN SELECT RAISE(ABORT, 'frozen: no decision can be added to a frozen capture; say it in the review'); END;
`;
