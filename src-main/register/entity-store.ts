import type { Database } from 'better-sqlite3';
import type { ChangeLog, RowImage, Subject } from './change-log.ts';
import { fromJson } from './json.ts';
import { RegisterError } from './register-error.ts';

/** How a kind of thing sits in its table. */
export interface EntityShape<T extends { readonly id: number }> {
  readonly subject: Subject;
  /** Columns beside the body that other tables or indexes rest on. */
  readonly columns: (value: Omit<T, 'id'>) => RowImage['columns'];
  /** What a person calls one of them. */
  readonly nameOf: (value: Omit<T, 'id'>) => string;
  /** What is wrong with this value (as number `id`; null: a new one), or null. */
  readonly wrongWith: (value: Omit<T, 'id'>, id: number | null) => Wrong | null;
  /** What rests on it and forbids its removal, or null. */
  readonly restsOn: (id: number) => string | null;
  /** Puts a new name wherever others name the thing, in the same step; left out: nothing names it. */
  readonly renamed?: (from: string, to: string) => void;
}

export interface Wrong {
  readonly found: string;
  readonly expected: string;
  readonly wayOut: string;
}

/** States, fixes, points, events, bands and decisions: kept alike, each in its table. */
export class EntityStore<T extends { readonly id: number }> {
  private readonly db: Database;
  private readonly log: ChangeLog;
  private readonly shape: EntityShape<T>;

  constructor(db: Database, log: ChangeLog, shape: EntityShape<T>) {
    this.db = db;
    this.log = log;
    this.shape = shape;
  }

  list(): T[] {
    const rows = this.db.prepare(`SELECT id, body FROM ${this.shape.subject} WHERE gone = 0 ORDER BY id`).all();
    return (rows as Row[]).map((row) => valueOf<T>(row));
  }

  get(id: number): T | null {
    const row = this.db.prepare(`SELECT id, body FROM ${this.shape.subject} WHERE id = ? AND gone = 0`).get(id);
    return row === undefined ? null : valueOf<T>(row as Row);
  }

  /** Counts the changes of one entry: pass it to `put` to be told where another window was faster. */
  revisionOf(id: number): number {
    return this.db.prepare(`SELECT revision FROM ${this.shape.subject} WHERE id = ?`).pluck().get(id) as number;
  }

  /**
   * Adds where `id` is null, else changes.
   *
   * @param revision the revision the change started from; left out: the change is made whatever happened since
   * @throws RegisterError `refused` with what is wrong, `not-found`, `stale`
   */
  put(id: number | null, value: Omit<T, 'id'>, revision?: number): T {
    const { subject, columns, nameOf } = this.shape;
    return this.log.step(() => {
      const name = nameOf(value);
      const old = id === null ? null : this.mustExist(id);
      const wrong = this.shape.wrongWith(value, id);
      if (wrong !== null)
        throw new RegisterError('refused', { file: 'the register', place: `${subject} ${name}`, ...wrong });
      if (id === null) {
        const key = (added: number): string => `${subject} ${added}`;
        const added = this.log.add(subject, value, columns(value), key, `added ${subject} ${name}`);
        return { ...value, id: added } as unknown as T;
      }
      if (revision !== undefined && this.revisionOf(id) !== revision) throw stale(`${subject} ${name}`);
      const image = { body: value, columns: columns(value), gone: false };
      this.log.change(subject, id, image, `${subject} ${id}`, `changed ${subject} ${name}`);
      if (old !== null && nameOf(old) !== name) this.shape.renamed?.(nameOf(old), name);
      return { ...value, id } as unknown as T;
    });
  }

  /** @throws RegisterError `refused` with what rests on it, or `not-found` */
  remove(id: number): void {
    this.log.step(() => {
      const name = this.shape.nameOf(this.mustExist(id));
      const reason = this.shape.restsOn(id);
      if (reason !== null)
        throw new RegisterError('refused', {
          file: 'the register',
          place: `${this.shape.subject} ${name}`,
          found: reason,
          expected: 'nothing that rests on it',
          wayOut: 'Move or remove that first.',
        });
      this.log.remove(this.shape.subject, id, `${this.shape.subject} ${id}`, `removed ${this.shape.subject} ${name}`);
    });
  }

  private mustExist(id: number): T {
    const value = this.get(id);
    if (value === null) throw notThere(`${this.shape.subject} ${id}`);
    return value;
  }
}

interface Row {
  readonly id: number;
  readonly body: string;
}

function valueOf<T extends { readonly id: number }>(row: Row): T {
  return { ...fromJson<Omit<T, 'id'>>(row.body), id: row.id } as unknown as T;
}

export function notThere(place: string): RegisterError {
  return new RegisterError('not-found', {
    file: 'the register',
    place,
    found: 'nothing',
    expected: 'an entry with this number',
    wayOut: 'It was removed, perhaps in another window: look again.',
  });
}

export function stale(place: string): RegisterError {
  return new RegisterError('stale', {
    file: 'the register',
    place,
    found: 'a newer version, changed in another window',
    expected: 'the version this change started from',
    wayOut: 'Look at what changed, then make the change again.',
  });
}
