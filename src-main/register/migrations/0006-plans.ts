/** Adopted plans; each may belong to the build state that is planned with it. */
export const PLANS = `
CREATE TABLE plan (
  id INTEGER PRIMARY KEY, state_id INTEGER REFERENCES state (id), revision INTEGER NOT NULL, body TEXT NOT NULL,
  gone INTEGER NOT NULL DEFAULT 0
) STRICT;
`;
