import type { Database } from 'better-sqlite3';
import { FIRST } from './migrations/0001-first.ts';

/** SQL of each version, in order; the version of a file is its user_version. Never change one that was released: add the next. */
export const MIGRATIONS: readonly string[] = [FIRST];

/** 'SPRL': marks the file as a register among SQLite files. */
export const APPLICATION_ID = 0x5350524c;

/** Brings a file to the present version, each step in a transaction of its own. */
export function migrate(db: Database, migrations: readonly string[] = MIGRATIONS): void {
  for (let version = db.pragma('user_version', { simple: true }) as number; version < migrations.length; version++)
    db.transaction(() => {
      db.exec(migrations[version]!);
      db.pragma(`user_version = ${version + 1}`);
    })();
}
