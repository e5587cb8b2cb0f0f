import type { Database } from 'better-sqlite3';
import type { ChangeLog, RowImage, Subject } from './change-log.ts';
import { RegisterError } from './register-error.ts';

/** How a kind of thing sits in its table. */
export interface EntityShape<T extends { readonly id: number }> {
  readonly subject: Subject;
  /** Columns beside the body that other tables or indexes rest on. */
  readonly columns: (value: Omit<T, 'id'>) => RowImage['columns'];
  /** What a person calls one of them. */
  readonly nameOf: (value: Omit<T, 'id'>) => string;
  /** Why it cannot be removed, or null. */
  readonly restsOn: (id: number) => string | null;
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
    const rows = this.db.prepare(`SELECT id, body FROM ${this.shape.subject} WHERE gone = 0 ORDER BY id`).all() as {
      id: number;
      body: string;
    }[];
    return rows.map((row) => ({ ...(JSON.parse(row.body) as Omit<T, 'id'>), id: row.id }) as T);
  }

  get(id: number): T | null {
    return this.list().find((entry) => entry.id === id) ?? null;
  }

  /** Adds where `id` is null, else changes. @throws RegisterError `not-found` */
  put(id: number | null, value: Omit<T, 'id'>): T {
    const { subject, columns, nameOf } = this.shape;
    return this.log.step(() => {
      const name = nameOf(value);
      if (id === null) {
        const added = this.log.add(
          subject,
          value,
          columns(value),
          (key) => `${subject} ${key}`,
          `added ${subject} ${name}`,
        );
        return { ...value, id: added } as unknown as T;
      }
      this.mustExist(id);
      this.log.change(
        subject,
        id,
        { body: value, columns: columns(value), gone: false },
        `${subject} ${id}`,
        `changed ${subject} ${name}`,
      );
      return { ...value, id } as unknown as T;
    });
  }

  /** @throws RegisterError `refused` with what rests on it, or `not-found` */
  remove(id: number): void {
    this.log.step(() => {
      const value = this.mustExist(id);
      const reason = this.shape.restsOn(id);
      const name = this.shape.nameOf(value);
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
    if (value === null)
      throw new RegisterError('not-found', {
        file: 'the register',
        place: `${this.shape.subject} ${id}`,
        found: 'nothing',
        expected: 'an entry with this number',
        wayOut: 'It was removed, perhaps in another window: look again.',
      });
    return value;
  }
}
