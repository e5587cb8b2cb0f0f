import type { Database, Statement } from 'better-sqlite3';
import type { HistoryEntry } from '../model/history-entry.ts';
import { changedFields } from './changed-fields.ts';
import { canonicalJson, fromJson, toJson } from './json.ts';
import { RegisterError } from './register-error.ts';

/** Tables whose rows are changed through the log. Each has id, revision, body and gone. */
export const SUBJECTS = [
  'source',
  'band',
  'state',
  'fix',
  'point',
  'event',
  'capture',
  'decision',
  'settings',
  'calibration',
  'chain',
  'transfer',
  'folder',
  'limit_line',
  'requirement',
  'disposition',
  'plan',
  'freeze',
  'packet',
  'recheck',
  'review_note',
  'photo',
] as const;
export type Subject = (typeof SUBJECTS)[number];

/** One row as the log keeps it: the body, the columns beside it, and whether it is gone. */
export interface RowImage {
  readonly body: unknown;
  readonly columns: Readonly<Record<string, string | number | null>>;
  readonly gone: boolean;
}

interface HistoryRow {
  id: number;
  step: number;
  at: string;
  who: string;
  subject: Subject;
  row_id: number;
  subject_key: string;
  action: HistoryEntry['action'];
  summary: string;
  before: string | null;
  after: string | null;
  concerns: number | null;
}

/**
 * Appends every change of the register to its history and takes changes back by new entries, never by altering old ones.
 *
 * A step is all that one act of the user changed. Undo takes back the latest step that stands, redo the earliest that was taken
 * back; a new step leaves what was taken back behind for good. Rows are never deleted: they are marked gone, so that undo can
 * bring back a capture with its traces.
 */
export class ChangeLog {
  private readonly db: Database;
  private readonly now: () => Date;
  private readonly who: string;
  private readonly append: Statement;
  private openStep: number | null = null;

  constructor(db: Database, now: () => Date, who: string) {
    this.db = db;
    this.now = now;
    this.who = who;
    this.append = db.prepare(
      'INSERT INTO history (step, at, who, subject, row_id, subject_key, action, summary, before, after, concerns) VALUES (?,?,?,?,?,?,?,?,?,?,?)',
    );
  }

  /**
   * Runs an act as one step in one transaction; it is on the disk when this returns. A nested act joins the outer step, and
   * where it fails it alone is taken back.
   */
  step<T>(act: () => T): T {
    if (this.openStep !== null) return this.db.transaction(act)();
    return this.db
      .transaction(() => {
        const before = this.newest();
        this.openStep = Number(this.db.prepare("INSERT INTO step (standing) VALUES ('done')").run().lastInsertRowid);
        try {
          const value = act();
          // an act that changed nothing is no step: undo would seem to do nothing, and redo must stay possible
          if (this.newest() === before) this.db.prepare('DELETE FROM step WHERE id = ?').run(this.openStep);
          else this.db.prepare("UPDATE step SET standing = 'left' WHERE standing = 'undone'").run();
          return value;
        } finally {
          this.openStep = null;
        }
      })
      .immediate();
  }

  /** Number of the newest entry; 0 before the first. */
  newest(): number {
    return this.db.prepare('SELECT coalesce(max(id), 0) FROM history').pluck().get() as number;
  }

  read(subject: Subject, id: number): RowImage | null {
    const row = this.db.prepare(`SELECT * FROM ${subject} WHERE id = ?`).get(id) as
      Record<string, string | number | null> | undefined;
    if (row === undefined) return null;
    const { id: _id, revision: _revision, body, gone, ...columns } = row;
    return { body: fromJson(body as string), columns, gone: gone === 1 };
  }

  add(
    subject: Subject,
    body: unknown,
    columns: RowImage['columns'],
    key: (id: number) => string,
    summary: string,
  ): number {
    const names = Object.keys(columns);
    const info = this.db
      .prepare(
        `INSERT INTO ${subject} (${['revision', 'body', ...names].join(', ')}) VALUES (${['1', '?', ...names.map(() => '?')].join(', ')})`,
      )
      .run(toJson(body), ...names.map((name) => columns[name]!));
    const id = Number(info.lastInsertRowid);
    this.log(subject, id, key(id), 'add', summary, null, this.read(subject, id), null);
    return id;
  }

  /** Writes a row and its history, its line ending in the fields that changed; the same values again change nothing. */
  change(
    subject: Subject,
    id: number,
    image: RowImage,
    key: string,
    summary: string,
    action: HistoryEntry['action'] = 'change',
  ): void {
    const before = this.read(subject, id);
    if (canonicalJson(before) === canonicalJson(image)) return;
    this.write(subject, id, image);
    const fields = action === 'change' ? changedFields(before?.body, image.body) : '';
    const line = fields === '' ? summary : `${summary}: ${fields}`;
    this.log(subject, id, key, action, line, before, this.read(subject, id), null);
  }

  remove(subject: Subject, id: number, key: string, summary: string): void {
    const before = this.read(subject, id)!;
    this.change(subject, id, { ...before, gone: true }, key, summary, 'remove');
  }

  private write(subject: Subject, id: number, image: RowImage): void {
    const names = Object.keys(image.columns);
    this.db
      .prepare(
        `UPDATE ${subject} SET body = ?, gone = ?, revision = revision + 1${names.map((name) => `, ${name} = ?`).join('')} WHERE id = ?`,
      )
      .run(toJson(image.body), image.gone ? 1 : 0, ...names.map((name) => image.columns[name]!), id);
  }

  private log(
    subject: Subject,
    rowId: number,
    key: string,
    action: HistoryEntry['action'],
    summary: string,
    before: RowImage | null,
    after: RowImage | null,
    concerns: number | null,
  ): void {
    this.append.run(
      this.openStep,
      this.now().toISOString(),
      this.who,
      subject,
      rowId,
      key,
      action,
      summary,
      before === null ? null : toJson(before),
      after === null ? null : toJson(after),
      concerns,
    );
  }

  /** What undo or redo would do, as the summary of its step; null where there is nothing. */
  nextSummary(kind: 'undo' | 'redo'): string | null {
    const step = this.nextStep(kind);
    if (step === null) return null;
    const entries = this.entriesOf(step);
    return entries.length === 1 ? entries[0]!.summary : `${entries[0]!.summary} and ${entries.length - 1} more`;
  }

  private nextStep(kind: 'undo' | 'redo'): number | null {
    const query =
      kind === 'undo'
        ? "SELECT max(id) FROM step WHERE standing = 'done'"
        : "SELECT min(id) FROM step WHERE standing = 'undone'";
    return this.db.prepare(query).pluck().get() as number | null;
  }

  private entriesOf(step: number): HistoryRow[] {
    return this.db
      .prepare("SELECT * FROM history WHERE step = ? AND action NOT IN ('undo', 'redo') ORDER BY id")
      .all(step) as HistoryRow[];
  }

  /** Puts all steps so far beyond undo and redo: they were no act of the user (a demonstration's own making). */
  settle(): void {
    this.db.prepare("UPDATE step SET standing = 'left'").run();
  }

  /** @throws RegisterError `refused` where there is nothing to take back; `stale` where a row is not as the step left it */
  undo(): void {
    this.replay('undo');
  }

  /** @throws RegisterError `refused` where nothing was taken back since the last change; `stale` */
  redo(): void {
    this.replay('redo');
  }

  private replay(kind: 'undo' | 'redo'): void {
    this.db
      .transaction(() => {
        const step = this.nextStep(kind);
        if (step === null)
          throw new RegisterError('refused', {
            file: 'the register',
            place: 'history',
            found: `nothing to ${kind}`,
            expected: 'a change that can be taken back',
            wayOut: 'Change something first.',
          });
        const entries = this.entriesOf(step);
        if (kind === 'undo') entries.reverse();
        this.openStep = step;
        try {
          for (const entry of entries) this.replayEntry(kind, entry);
        } finally {
          this.openStep = null;
        }
        this.db.prepare('UPDATE step SET standing = ? WHERE id = ?').run(kind === 'undo' ? 'undone' : 'done', step);
      })
      .immediate();
  }

  private replayEntry(kind: 'undo' | 'redo', entry: HistoryRow): void {
    const { subject, row_id: id } = entry;
    const now = this.read(subject, id)!;
    // what was added is taken back by marking it gone
    const imageOf = (text: string | null): RowImage =>
      text === null ? { ...fromJson<RowImage>((entry.before ?? entry.after)!), gone: true } : fromJson<RowImage>(text);
    const expected = imageOf(kind === 'undo' ? entry.after : entry.before);
    const target = imageOf(kind === 'undo' ? entry.before : entry.after);
    if (canonicalJson(now) !== canonicalJson(expected))
      throw new RegisterError('stale', {
        file: 'the register',
        place: entry.subject_key,
        found: 'a later change by another window',
        expected: 'the state this step left',
        wayOut: 'Look at the history, and change it by hand.',
      });
    this.write(subject, id, target);
    const summary = `${kind === 'undo' ? 'took back' : 'did again'}: ${entry.summary}`;
    this.log(subject, id, entry.subject_key, kind, summary, now, this.read(subject, id), entry.id);
  }

  list(limit: number, beforeId: number | null): HistoryEntry[] {
    const rows = this.db
      .prepare('SELECT * FROM history WHERE id < ? ORDER BY id DESC LIMIT ?')
      .all(beforeId ?? Number.MAX_SAFE_INTEGER, limit) as HistoryRow[];
    return this.entries(rows);
  }

  /** All that happened to one row, oldest first. */
  ofRow(subject: Subject, rowId: number): HistoryEntry[] {
    const rows = this.db
      .prepare('SELECT * FROM history WHERE subject = ? AND row_id = ? ORDER BY id')
      .all(subject, rowId) as HistoryRow[];
    return this.entries(rows);
  }

  private entries(rows: readonly HistoryRow[]): HistoryEntry[] {
    const standing = this.db.prepare('SELECT standing FROM step WHERE id = ?').pluck();
    return rows.map((row) => ({
      id: row.id,
      at: row.at,
      who: row.who,
      subject: row.subject,
      subjectKey: row.subject_key,
      action: row.action,
      summary: row.summary,
      before: row.before,
      after: row.after,
      concerns: row.concerns,
      undoable: row.action !== 'undo' && row.action !== 'redo' && standing.get(row.step) === 'done',
    }));
  }
}
