/** Own limit lines, requirements, and what was accepted in writing. */
export const VERDICTS = `
CREATE TABLE limit_line (id INTEGER PRIMARY KEY, revision INTEGER NOT NULL, body TEXT NOT NULL, gone INTEGER NOT NULL DEFAULT 0) STRICT;
CREATE TABLE requirement (id INTEGER PRIMARY KEY, revision INTEGER NOT NULL, body TEXT NOT NULL, gone INTEGER NOT NULL DEFAULT 0) STRICT;
CREATE TABLE disposition (
  id INTEGER PRIMARY KEY, from_state_id INTEGER REFERENCES state (id), until_state_id INTEGER REFERENCES state (id),
  revision INTEGER NOT NULL, body TEXT NOT NULL, gone INTEGER NOT NULL DEFAULT 0
) STRICT;
`;
