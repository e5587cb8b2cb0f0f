import type { Database } from 'better-sqlite3';
import type { ChangeLog } from './change-log.ts';
import { fromJson } from './json.ts';

/** Named values that hold for the whole register: its title, thresholds of triage and comparison … */
export class SettingsStore {
  private readonly db: Database;
  private readonly log: ChangeLog;
  constructor(db: Database, log: ChangeLog) {
    this.db = db;
    this.log = log;
  }

  /** Null where it was never set, or taken back. The caller knows its shape. */
  get(name: string): unknown {
    const body = this.db.prepare('SELECT body FROM settings WHERE name = ? AND gone = 0').pluck().get(name);
    return body === undefined ? null : fromJson<unknown>(body as string);
  }

  put(name: string, value: unknown): void {
    this.log.step(() => {
      const id = this.db.prepare('SELECT id FROM settings WHERE name = ?').pluck().get(name) as number | undefined;
      const [key, summary] = [`settings ${name}`, `set ${name}`];
      if (id === undefined) this.log.add('settings', value, { name }, () => key, summary);
      else this.log.change('settings', id, { body: value, columns: { name }, gone: false }, key, summary);
    });
  }
}
