/** The first form of the register. Every entity keeps its body as JSON beside the columns that others rest on. */
export const FIRST = `
CREATE TABLE about (key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;

CREATE TABLE source (
  id INTEGER PRIMARY KEY, designator TEXT NOT NULL, letter TEXT NOT NULL UNIQUE, place INTEGER NOT NULL UNIQUE,
  revision INTEGER NOT NULL, body TEXT NOT NULL, gone INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE UNIQUE INDEX source_designator ON source (designator) WHERE gone = 0;

CREATE TABLE band (id INTEGER PRIMARY KEY, revision INTEGER NOT NULL, body TEXT NOT NULL, gone INTEGER NOT NULL DEFAULT 0) STRICT;
CREATE TABLE state (
  id INTEGER PRIMARY KEY, parent_id INTEGER REFERENCES state (id), revision INTEGER NOT NULL, body TEXT NOT NULL,
  gone INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE TABLE fix (
  id INTEGER PRIMARY KEY, from_state_id INTEGER NOT NULL REFERENCES state (id), to_state_id INTEGER NOT NULL REFERENCES state (id),
  revision INTEGER NOT NULL, body TEXT NOT NULL, gone INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE TABLE point (id INTEGER PRIMARY KEY, revision INTEGER NOT NULL, body TEXT NOT NULL, gone INTEGER NOT NULL DEFAULT 0) STRICT;
CREATE TABLE event (
  id INTEGER PRIMARY KEY, after_state_id INTEGER REFERENCES state (id), revision INTEGER NOT NULL, body TEXT NOT NULL,
  gone INTEGER NOT NULL DEFAULT 0
) STRICT;

CREATE TABLE blob (
  sha256 TEXT PRIMARY KEY, packing TEXT NOT NULL CHECK (packing IN ('none', 'deflate')), bytes BLOB NOT NULL
) STRICT;
CREATE TABLE capture (
  id INTEGER PRIMARY KEY, sha256 TEXT NOT NULL, state_id INTEGER REFERENCES state (id), point_id INTEGER REFERENCES point (id),
  revision INTEGER NOT NULL, body TEXT NOT NULL, gone INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE UNIQUE INDEX capture_sha256 ON capture (sha256) WHERE gone = 0;
CREATE TABLE trace (
  capture_id INTEGER NOT NULL REFERENCES capture (id), trace_index INTEGER NOT NULL,
  frequency_sha256 TEXT NOT NULL REFERENCES blob (sha256), level_sha256 TEXT NOT NULL REFERENCES blob (sha256),
  PRIMARY KEY (capture_id, trace_index)
) STRICT;

CREATE TABLE result (
  capture_id INTEGER NOT NULL REFERENCES capture (id), trace_index INTEGER NOT NULL, basis TEXT NOT NULL, body TEXT NOT NULL,
  floor_sha256 TEXT NOT NULL, floor BLOB NOT NULL, PRIMARY KEY (capture_id, trace_index)
) STRICT;
CREATE TABLE spur (
  capture_id INTEGER NOT NULL, trace_index INTEGER NOT NULL, place INTEGER NOT NULL, frequency_hz REAL NOT NULL, level_db REAL NOT NULL,
  cause TEXT NOT NULL, source TEXT, harmonic INTEGER, PRIMARY KEY (capture_id, trace_index, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE decision (
  id INTEGER PRIMARY KEY, capture_id INTEGER NOT NULL REFERENCES capture (id), revision INTEGER NOT NULL, body TEXT NOT NULL,
  gone INTEGER NOT NULL DEFAULT 0
) STRICT;

CREATE TABLE history (
  id INTEGER PRIMARY KEY, step INTEGER NOT NULL, at TEXT NOT NULL, who TEXT NOT NULL, subject TEXT NOT NULL, row_id INTEGER NOT NULL,
  subject_key TEXT NOT NULL, action TEXT NOT NULL, summary TEXT NOT NULL, before TEXT, after TEXT, concerns INTEGER
) STRICT;
CREATE INDEX history_step ON history (step);
CREATE INDEX history_row ON history (subject, row_id);
CREATE TRIGGER history_is_never_changed BEFORE UPDATE ON history BEGIN SELECT RAISE(ABORT, 'history is never changed'); END;
CREATE TRIGGER history_is_never_deleted BEFORE DELETE ON history BEGIN SELECT RAISE(ABORT, 'history is never deleted'); END;

CREATE TABLE step (id INTEGER PRIMARY KEY, standing TEXT NOT NULL CHECK (standing IN ('done', 'undone', 'left'))) STRICT;
`;
