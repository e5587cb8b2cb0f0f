/** Opens a register as a user without rights to it, and says what could be done. Run as root it becomes the user nobody first. */
import { readdirSync } from 'node:fs';
import { tmpdir } from 'node:os';
import SqliteDatabase from 'better-sqlite3';
import { openRegister } from '../../src-main/register/register.ts';
import { RegisterError } from '../../src-main/register/register-error.ts';
import { source } from './scene-data.ts';

// the database library is loaded at its first use: it may lie in a folder that nobody can read
new SqliteDatabase(':memory:').close();
const NOBODY = 65_534;
if (process.getuid?.() === 0) {
  process.setgid?.(NOBODY);
  process.setuid?.(NOBODY);
}
const codeOf = (act: () => unknown): string => {
  try {
    act();
    return 'done';
  } catch (error) {
    return error instanceof RegisterError ? error.code : String(error);
  }
};
const copies = (): number => readdirSync(tmpdir()).filter((name) => name.startsWith('spurledger-')).length;

const answers = process.argv.slice(2).map((path) => {
  const before = copies();
  let said: unknown;
  const opening = codeOf(() => {
    const register = openRegister(path, { now: () => new Date(), who: 'nobody', busyTimeoutMs: 100 });
    const { title, schemaVersion } = register.facts();
    said = {
      readOnly: register.readOnly,
      title,
      schemaVersion,
      sources: register.sources.list().map((entry) => entry.source.designator),
      put: codeOf(() => register.sources.put(source('NEW'), null)),
      undo: codeOf(() => register.undo()),
    };
    register.close();
  });
  return { opening, said, copiesLeft: copies() - before };
});
process.stdout.write(JSON.stringify(answers));
