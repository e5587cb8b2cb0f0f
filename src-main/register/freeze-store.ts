import type { Database } from 'better-sqlite3';
import type { Freeze } from '../model/freeze.ts';
import type { Blobs } from './blobs.ts';
import type { ChangeLog } from './change-log.ts';
import { notThere } from './entity-store.ts';
import { fromJson } from './json.ts';
import { RegisterError } from './register-error.ts';

export type FrozenSubject =
  | 'source'
  | 'band'
  | 'point'
  | 'event'
  | 'fix'
  | 'state'
  | 'capture'
  | 'decision'
  | 'requirement'
  | 'limit_line'
  | 'disposition'
  | 'calibration'
  | 'chain'
  | 'transfer';

/** A row that a freeze holds. */
export interface FrozenRow {
  readonly subject: FrozenSubject;
  readonly id: number;
}

/** Frozen revisions: what they say is kept as text by its sum; what they hold is guarded by the file itself (migration 0007). */
export class FreezeStore {
  private readonly db: Database;
  private readonly log: ChangeLog;
  private readonly blobs: Blobs;

  constructor(db: Database, log: ChangeLog, blobs: Blobs) {
    this.db = db;
    this.log = log;
    this.blobs = blobs;
  }

  /** Oldest first. */
  list(): Freeze[] {
    const rows = this.db.prepare('SELECT id, body FROM freeze WHERE gone = 0 ORDER BY id').all();
    return (rows as { id: number; body: string }[]).map(({ id, body }) => ({
      ...fromJson<Omit<Freeze, 'id'>>(body),
      id,
    }));
  }

  /** @throws RegisterError `not-found` */
  get(id: number): Freeze {
    const freeze = this.list().find((one) => one.id === id);
    if (freeze === undefined) throw notThere(`frozen revision ${id}`);
    return freeze;
  }

  /** What was frozen, as it was written. @throws RegisterError `not-found`, `damaged` */
  contents(id: number): string {
    const { revision } = this.get(id);
    const sum = this.db.prepare('SELECT contents_sha256 FROM freeze WHERE id = ?').pluck().get(id) as string;
    return Buffer.from(this.blobs.get(sum, `frozen revision ${revision}`)).toString('utf8');
  }

  /** Numbers of the rows of one kind that a revision holds. */
  held(id: number, subject: FrozenSubject): number[] {
    const rows = this.db
      .prepare('SELECT row_id FROM frozen WHERE freeze_id = ? AND subject = ? ORDER BY row_id')
      .pluck();
    return rows.all(id, subject) as number[];
  }

  /** Numbers of all present rows of one kind. */
  present(subject: FrozenSubject): number[] {
    return this.db.prepare(`SELECT id FROM ${subject} WHERE gone = 0 ORDER BY id`).pluck().all() as number[];
  }

  /** Freezes: from now on the rows are read-only (states, captures, decisions, fixes) or cannot be removed (the others). */
  add(freeze: Omit<Freeze, 'id' | 'revision'>, contents: string, rows: readonly FrozenRow[]): Freeze {
    return this.log.step(() => {
      // counted over all there ever were: a number once given is not given again
      const revision = (this.db.prepare('SELECT count(*) FROM freeze').pluck().get() as number) + 1;
      const columns = { contents_sha256: this.blobs.put(Buffer.from(contents, 'utf8'), 'deflate') };
      const summary = `froze state ${freeze.stateName} as revision ${revision}`;
      const id = this.log.add('freeze', { ...freeze, revision }, columns, (key) => `freeze ${key}`, summary);
      const insert = this.db.prepare('INSERT INTO frozen (freeze_id, subject, row_id) VALUES (?, ?, ?)');
      for (const row of rows) insert.run(id, row.subject, row.id);
      return { ...freeze, revision, id };
    });
  }

  /** Takes a revision up again: its rows can be changed, save that nothing a packet rests on can be removed. */
  reopen(id: number, reopened: NonNullable<Freeze['reopened']>): Freeze {
    return this.log.step(() => {
      const { id: _id, ...freeze } = this.get(id);
      if (freeze.reopened !== null)
        throw new RegisterError('refused', {
          file: 'the register',
          place: `frozen revision ${freeze.revision}`,
          found: `taken up again already by ${freeze.reopened.by}`,
          expected: 'a revision that stands',
          wayOut: 'Freeze the state again when it is as it should be.',
        });
      const image = this.log.read('freeze', id)!;
      const body = { ...freeze, reopened };
      this.log.change('freeze', id, { ...image, body }, `freeze ${id}`, `took revision ${freeze.revision} up again`);
      return { ...body, id };
    });
  }
}
