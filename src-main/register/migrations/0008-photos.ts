/** Photographs of the build with the probe positions pinned on them. */
export const PHOTOS = `
CREATE TABLE photo (
  id INTEGER PRIMARY KEY, sha256 TEXT NOT NULL REFERENCES blob (sha256), revision INTEGER NOT NULL, body TEXT NOT NULL,
  gone INTEGER NOT NULL DEFAULT 0
) STRICT;
`;
