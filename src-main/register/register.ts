import { accessSync, constants, existsSync, openSync, readSync, closeSync, statSync } from 'node:fs';
import { basename, dirname } from 'node:path';
import SqliteDatabase, { type Database } from 'better-sqlite3';
import type { Band } from '../model/band.ts';
import type { BuildState, EnvironmentEvent, Fix } from '../model/build-state.ts';
import type { Decision } from '../model/decision.ts';
import type { HistoryEntry } from '../model/history-entry.ts';
import type { MeasuringPoint } from '../model/measuring-point.ts';
import { Blobs } from './blobs.ts';
import { CaptureStore } from './capture-store.ts';
import { ChangeLog } from './change-log.ts';
import { EntityStore } from './entity-store.ts';
import { APPLICATION_ID, migrate, MIGRATIONS } from './migrate.ts';
import { RegisterError, translateError } from './register-error.ts';
import { ResultStore } from './result-store.ts';
import { SourceStore } from './source-store.ts';

export interface RegisterOptions {
  /** The clock; passed in so that tests and re-runs can fix it. */
  readonly now: () => Date;
  /** Who makes the changes, for the history. */
  readonly who: string;
}

/** What a register says of itself. */
export interface RegisterFacts {
  readonly title: string;
  readonly isInvented: boolean;
  readonly schemaVersion: number;
  readonly captures: number;
  readonly sources: number;
  readonly states: number;
  readonly keptAt: string;
  readonly undoSummary: string | null;
  readonly redoSummary: string | null;
}

type Keyed<T> = T & { readonly id: number };

/**
 * One payload build's memory: a SQLite file. All changes go through stores that write the history in the same transaction; a change
 * is on the disk (WAL, synchronous FULL) when the call returns. Several processes may have it open.
 */
export class Register {
  readonly path: string;
  readonly readOnly: boolean;
  readonly sources: SourceStore;
  readonly captures: CaptureStore;
  readonly results: ResultStore;
  readonly bands: EntityStore<Keyed<Band>>;
  readonly states: EntityStore<BuildState>;
  readonly fixes: EntityStore<Fix>;
  readonly points: EntityStore<MeasuringPoint>;
  readonly events: EntityStore<EnvironmentEvent>;
  readonly decisions: EntityStore<Decision>;
  private readonly db: Database;
  private readonly log: ChangeLog;
  private dataVersion: number;

  constructor(db: Database, path: string, readOnly: boolean, options: RegisterOptions) {
    this.db = db;
    this.path = path;
    this.readOnly = readOnly;
    this.log = guarded(new ChangeLog(db, options.now, options.who), path);
    const blobs = new Blobs(db, basename(path));
    this.sources = guarded(new SourceStore(db, this.log), path);
    this.captures = guarded(new CaptureStore(db, this.log, blobs, options.now), path);
    this.results = guarded(new ResultStore(db, basename(path)), path);
    const count = (query: string, id: number): number => db.prepare(query).pluck().get(id) as number;
    const rests = (parts: readonly (readonly [number, string])[]): string | null => {
      const found = parts.filter(([n]) => n > 0).map(([n, what]) => `${n} ${what}`);
      return found.length === 0 ? null : `${found.join(' and ')} that rest on it`;
    };
    const store = <T extends { readonly id: number }>(
      shape: ConstructorParameters<typeof EntityStore<T>>[2],
    ): EntityStore<T> => guarded(new EntityStore<T>(db, this.log, shape), path);
    this.bands = store<Keyed<Band>>({
      subject: 'band',
      columns: () => ({}),
      nameOf: (band) => band.name,
      restsOn: () => null,
    });
    this.states = store<BuildState>({
      subject: 'state',
      columns: (state) => ({ parent_id: state.parentId }),
      nameOf: (state) => state.name,
      restsOn: (id) =>
        rests([
          [count('SELECT count(*) FROM capture WHERE state_id = ? AND gone = 0', id), 'capture(s)'],
          [count('SELECT count(*) FROM state WHERE parent_id = ? AND gone = 0', id), 'later state(s)'],
          [
            count('SELECT count(*) FROM fix WHERE ? IN (from_state_id, to_state_id) AND gone = 0', id),
            'fix(es)',
          ],
          [count('SELECT count(*) FROM event WHERE after_state_id = ? AND gone = 0', id), 'event(s)'],
        ]),
    });
    this.fixes = store<Fix>({
      subject: 'fix',
      columns: (fix) => ({ from_state_id: fix.fromStateId, to_state_id: fix.toStateId }),
      nameOf: (fix) => fix.change,
      restsOn: () => null,
    });
    this.points = store<MeasuringPoint>({
      subject: 'point',
      columns: () => ({}),
      nameOf: (point) => point.name,
      restsOn: (id) =>
        rests([[count('SELECT count(*) FROM capture WHERE point_id = ? AND gone = 0', id), 'capture(s)']]),
    });
    this.events = store<EnvironmentEvent>({
      subject: 'event',
      columns: (event) => ({ after_state_id: event.afterStateId }),
      nameOf: (event) => event.kind,
      restsOn: () => null,
    });
    this.decisions = store<Decision>({
      subject: 'decision',
      columns: (decision) => ({ capture_id: decision.captureId }),
      nameOf: (decision) => `${decision.kind} at ${(decision.frequencyHz / 1e6).toFixed(6)} MHz`,
      restsOn: () => null,
    });
    this.dataVersion = this.readDataVersion();
  }

  /** Several acts as one step of the history. */
  step<T>(act: () => T): T {
    return this.log.step(act);
  }

  facts(): RegisterFacts {
    const about = (key: string): string | undefined =>
      this.db.prepare('SELECT value FROM about WHERE key = ?').pluck().get(key) as string | undefined;
    const count = (table: string): number =>
      this.db.prepare(`SELECT count(*) FROM ${table} WHERE gone = 0`).pluck().get() as number;
    return {
      title: about('title') ?? basename(this.path),
      isInvented: about('invented') === 'yes',
      schemaVersion: this.db.pragma('user_version', { simple: true }) as number,
      captures: count('capture'),
      sources: count('source'),
      states: count('state'),
      keptAt:
        (this.db.prepare('SELECT at FROM history ORDER BY id DESC LIMIT 1').pluck().get() as string | undefined) ??
        about('made_at') ??
        '',
      undoSummary: this.log.nextSummary('undo'),
      redoSummary: this.log.nextSummary('redo'),
    };
  }

  history(limit: number, beforeId: number | null): HistoryEntry[] {
    return this.log.list(limit, beforeId);
  }

  undo(): void {
    this.log.undo();
  }

  redo(): void {
    this.log.redo();
  }

  private readDataVersion(): number {
    return this.db.pragma('data_version', { simple: true }) as number;
  }

  /** True once after another process or connection changed the file. */
  changedElsewhere(): boolean {
    const version = this.readDataVersion();
    const changed = version !== this.dataVersion;
    this.dataVersion = version;
    return changed;
  }

  close(): void {
    this.db.close();
  }
}

/** Wraps an object's methods so that errors of the database come out in our words. */
function guarded<T extends object>(target: T, path: string): T {
  return new Proxy(target, {
    get(object, name): unknown {
      const value = Reflect.get(object, name) as unknown;
      if (typeof value !== 'function') return value;
      return (...args: unknown[]): unknown => {
        try {
          return (value as (...a: unknown[]) => unknown).apply(object, args);
        } catch (error) {
          throw translateError(error, basename(path));
        }
      };
    },
  });
}

/** Makes a new register. @throws RegisterError `exists` where the file is there already */
export function createRegister(
  path: string,
  about: { title: string; isInvented: boolean },
  options: RegisterOptions,
): Register {
  if (existsSync(path))
    throw new RegisterError('exists', {
      file: basename(path),
      place: dirname(path),
      found: 'a file of this name',
      expected: 'a new name',
      wayOut: 'Choose another name, or open the register that is there.',
    });
  return attempt(path, () => {
    const db = new SqliteDatabase(path, { timeout: 5000 });
    prepare(db);
    db.pragma(`application_id = ${APPLICATION_ID}`);
    migrate(db);
    const insert = db.prepare('INSERT INTO about (key, value) VALUES (?, ?)');
    insert.run('title', about.title);
    insert.run('invented', about.isInvented ? 'yes' : 'no');
    insert.run('made_at', options.now().toISOString());
    return new Register(db, path, false, options);
  });
}

/**
 * Opens a register: read-only where the file or its folder cannot be written.
 * @throws RegisterError not-a-register, newer-version, locked, damaged, not-found
 */
export function openRegister(path: string, options: RegisterOptions): Register {
  const file = basename(path);
  if (!existsSync(path))
    throw new RegisterError('not-found', {
      file,
      place: dirname(path),
      found: 'no such file',
      expected: 'a register (.spurledger)',
      wayOut: 'Check the name, or make a new register.',
    });
  if (statSync(path).isDirectory() || !startsLikeDatabase(path))
    throw new RegisterError('not-a-register', {
      file,
      place: statSync(path).isDirectory() ? 'the folder' : 'byte 0',
      found: 'something that is no database',
      expected: 'a register (.spurledger)',
      wayOut: 'Choose another file; captures are dropped on the page, not opened as a register.',
    });
  return attempt(path, () => {
    const readOnly = !writable(path) || !writable(dirname(path));
    const db = new SqliteDatabase(path, { timeout: 5000, readonly: readOnly, fileMustExist: true });
    try {
      const id = db.pragma('application_id', { simple: true }) as number;
      if (id !== APPLICATION_ID)
        throw new RegisterError('not-a-register', {
          file,
          place: 'its header',
          found: 'a database of another program',
          expected: 'a register (.spurledger)',
          wayOut: 'Choose another file.',
        });
      const version = db.pragma('user_version', { simple: true }) as number;
      if (version > MIGRATIONS.length)
        throw new RegisterError('newer-version', {
          file,
          place: 'its header',
          found: `register version ${version}`,
          expected: `version ${MIGRATIONS.length} or older`,
          wayOut: 'Open it with the newer version of this program that wrote it; it was not touched.',
        });
      const check = db.pragma('quick_check(5)', { simple: true }) as string;
      if (check !== 'ok')
        throw new RegisterError('damaged', {
          file,
          place: 'its pages',
          found: check,
          expected: 'an intact database',
          wayOut: 'Go back to a copy of the register from before the damage; this one is left untouched.',
        });
      if (!readOnly) {
        prepare(db);
        migrate(db);
      }
      return new Register(db, path, readOnly, options);
    } catch (error) {
      db.close();
      throw error;
    }
  });
}

function prepare(db: Database): void {
  db.pragma('journal_mode = WAL');
  db.pragma('synchronous = FULL');
  db.pragma('foreign_keys = ON');
}

function attempt(path: string, act: () => Register): Register {
  try {
    return act();
  } catch (error) {
    throw translateError(error, basename(path));
  }
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
