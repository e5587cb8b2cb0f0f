/** Settings of a register, its title among them, become rows of their own, so that changing them is kept in the history. */
export const SETTINGS = `
CREATE TABLE settings (
  id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE, revision INTEGER NOT NULL, body TEXT NOT NULL, gone INTEGER NOT NULL DEFAULT 0
) STRICT;
INSERT INTO settings (name, revision, body) SELECT 'title', 1, json_quote(value) FROM about WHERE key = 'title';
DELETE FROM about WHERE key = 'title';
`;
