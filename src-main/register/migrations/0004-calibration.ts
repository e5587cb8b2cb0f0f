/** Calibration tables and chains, transfers of points to the receiver's input, watched folders. */
export const CALIBRATION = `
CREATE TABLE calibration (id INTEGER PRIMARY KEY, revision INTEGER NOT NULL, body TEXT NOT NULL, gone INTEGER NOT NULL DEFAULT 0) STRICT;
CREATE TABLE chain (id INTEGER PRIMARY KEY, revision INTEGER NOT NULL, body TEXT NOT NULL, gone INTEGER NOT NULL DEFAULT 0) STRICT;
CREATE TABLE transfer (
  id INTEGER PRIMARY KEY, point_id INTEGER NOT NULL REFERENCES point (id), revision INTEGER NOT NULL, body TEXT NOT NULL,
  gone INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE TABLE folder (
  id INTEGER PRIMARY KEY, state_id INTEGER REFERENCES state (id), point_id INTEGER REFERENCES point (id), revision INTEGER NOT NULL,
  body TEXT NOT NULL, gone INTEGER NOT NULL DEFAULT 0
) STRICT;
`;
