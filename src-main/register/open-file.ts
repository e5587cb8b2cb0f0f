import {
  accessSync,
  chmodSync,
  closeSync,
  constants,
  copyFileSync,
  existsSync,
  mkdtempSync,
  openSync,
  readSync,
  rmSync,
  statSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join } from 'node:path';
import SqliteDatabase, { type Database, type Options } from 'better-sqlite3';
import { APPLICATION_ID, migrate, MIGRATIONS, versionOf } from './migrate.ts';
import { RegisterError } from './register-error.ts';

export interface OpenedFile {
  readonly db: Database;
  readonly readOnly: boolean;
  /** What is left to do once the database is closed. */
  readonly afterClose: () => void;
}

/**
 * Opens the file of a register, checks that it is one, sound, and not from a newer version, and brings an older one up to date.
 * Where the file or its folder cannot be written it is opened for reading only.
 *
 * @throws RegisterError not-found, not-a-register, newer-version, damaged, and what the database and the disk throw
 */
export function openRegisterFile(path: string, busyTimeoutMs: number): OpenedFile {
  mustLookLikeDatabase(path);
  const file = basename(path);
  const nothing = (): void => undefined;
  if (writable(path) && writable(dirname(path)))
    return { db: writing(path, file, busyTimeoutMs), readOnly: false, afterClose: nothing };
  const db = reading(path, file, busyTimeoutMs);
  return db === null ? openedCopy(path, busyTimeoutMs) : { db, readOnly: true, afterClose: nothing };
}

function writing(path: string, file: string, busyTimeoutMs: number): Database {
  return opened(path, file, { timeout: busyTimeoutMs, fileMustExist: true }, (db) => {
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    db.pragma('journal_size_limit = 67108864');
    migrate(db);
  });
}

/** Null where it can only be read from a copy: SQLite needs files beside a database in WAL, and an older version must be migrated. */
function reading(path: string, file: string, busyTimeoutMs: number): Database | null {
  try {
    const db = opened(path, file, { timeout: busyTimeoutMs, fileMustExist: true, readonly: true }, () => undefined);
    if (versionOf(db) === MIGRATIONS.length) return db;
    db.close();
    return null;
  } catch (error) {
    if (error instanceof SqliteDatabase.SqliteError && /CANTOPEN|READONLY/.test(error.code)) return null;
    throw error;
  }
}

function openedCopy(path: string, busyTimeoutMs: number): OpenedFile {
  const folder = mkdtempSync(join(tmpdir(), 'spurledger-'));
  const afterClose = (): void => rmSync(folder, { recursive: true, force: true });
  try {
    const copy = join(folder, 'copy');
    // changes that wait in the journal beside the file belong to it
    for (const end of ['', '-wal'])
      if (existsSync(path + end)) {
        copyFileSync(path + end, copy + end);
        chmodSync(copy + end, 0o600);
      }
    const db = writing(copy, basename(path), busyTimeoutMs);
    db.pragma('query_only = ON');
    return { db, readOnly: true, afterClose };
  } catch (error) {
    afterClose();
    throw error;
  }
}

function opened(path: string, file: string, options: Options, prepare: (db: Database) => void): Database {
  const db = new SqliteDatabase(path, options);
  try {
    mustBeRegister(db, file);
    mustBeSound(db, file);
    prepare(db);
    db.pragma('foreign_keys = ON');
    return db;
  } catch (error) {
    db.close();
    throw error;
  }
}

function mustLookLikeDatabase(path: string): void {
  if (!existsSync(path))
    throw new RegisterError('not-found', {
      file: basename(path),
      place: dirname(path),
      found: 'no such file',
      expected: 'a register (.spurledger)',
      wayOut: 'Check the name, or make a new register.',
    });
  const isFolder = statSync(path).isDirectory();
  if (isFolder || !startsLikeDatabase(path))
    throw notRegister(
      basename(path),
      isFolder ? 'the folder' : 'byte 0',
      isFolder ? 'a folder' : statSync(path).size === 0 ? 'an empty file' : 'something that is no database',
    );
}

function mustBeRegister(db: Database, file: string): void {
  if ((db.pragma('application_id', { simple: true }) as number) !== APPLICATION_ID)
    throw notRegister(file, 'its header', 'a database of another program');
  const version = versionOf(db);
  if (version > MIGRATIONS.length)
    throw new RegisterError('newer-version', {
      file,
      place: 'its header',
      found: `register version ${version}`,
      expected: `version ${MIGRATIONS.length} or older`,
      wayOut: 'Open it with the newer version of this program that wrote it; it was not touched.',
    });
}

/** Every page is read; checksums of blobs are checked when they are used. */
function mustBeSound(db: Database, file: string): void {
  const lines = (db.pragma('quick_check(5)') as { quick_check: string }[]).map((line) => line.quick_check);
  if (lines.length === 1 && lines[0] === 'ok') return;
  throw new RegisterError('damaged', {
    file,
    place: 'its pages',
    found: lines.join('; '),
    expected: 'an intact database',
    wayOut: 'Go back to a copy of the register from before the damage; this one is left as it is.',
  });
}

function notRegister(file: string, place: string, found: string): RegisterError {
  return new RegisterError('not-a-register', {
    file,
    place,
    found,
    expected: 'a register (.spurledger)',
    wayOut: 'Choose another file; captures are dropped on the page, not opened as a register.',
  });
}

function writable(path: string): boolean {
  try {
    accessSync(path, constants.W_OK);
    return true;
  } catch {
    return false;
  }
}

function startsLikeDatabase(path: string): boolean {
  const head = Buffer.alloc(16);
  const handle = openSync(path, 'r');
  const read = readSync(handle, head, 0, 16, 0);
  closeSync(handle);
  return read === 16 && head.toString('latin1') === 'SQLite format 3\0';
}
