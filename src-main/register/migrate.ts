import type { Database } from 'better-sqlite3';
import { FIRST } from './migrations/0001-first.ts';
import { SETTINGS } from './migrations/0002-settings.ts';
import { PACKED_RESULTS } from './migrations/0003-packed-results.ts';
import { CALIBRATION } from './migrations/0004-calibration.ts';
import { VERDICTS } from './migrations/0005-verdicts.ts';
import { PLANS } from './migrations/0006-plans.ts';
import { PACKETS } from './migrations/0007-packets.ts';
import { PHOTOS } from './migrations/0008-photos.ts';

/** SQL of each version, in order; the version of a file is its user_version. Never change one that was released: add the next. */
export const MIGRATIONS: readonly string[] = [
  FIRST,
  SETTINGS,
  PACKED_RESULTS,
  CALIBRATION,
  VERDICTS,
  PLANS,
  PACKETS,
  PHOTOS,
];

/** 'SPRL': marks the file as a register among SQLite files. */
export const APPLICATION_ID = 0x5350524c;

export function versionOf(db: Database): number {
  return db.pragma('user_version', { simple: true }) as number;
}

/**
 * Brings a file to the present version, all steps in one transaction: it is either the old version or the new.
 * Two processes may try at once: the second waits, and finds nothing left to do.
 */
export function migrate(db: Database, migrations: readonly string[] = MIGRATIONS): void {
  if (versionOf(db) >= migrations.length) return;
  db.transaction(() => {
    for (let version = versionOf(db); version < migrations.length; version++) {
      db.exec(migrations[version]!);
      db.pragma(`user_version = ${version + 1}`);
    }
  }).immediate();
}
