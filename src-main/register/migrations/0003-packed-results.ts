/** Results are kept packed. They are derived: those of the old form are dropped, and computed again when they are asked for. */
export const PACKED_RESULTS = `
DROP TABLE result;
DELETE FROM spur;
CREATE TABLE result (
  capture_id INTEGER NOT NULL REFERENCES capture (id), trace_index INTEGER NOT NULL, basis TEXT NOT NULL, body TEXT NOT NULL,
  numbers_sha256 TEXT NOT NULL, numbers BLOB NOT NULL, PRIMARY KEY (capture_id, trace_index)
) STRICT;
`;
