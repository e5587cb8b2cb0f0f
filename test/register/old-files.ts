import SqliteDatabase from 'better-sqlite3';
import { APPLICATION_ID, MIGRATIONS } from '../../src-main/register/migrate.ts';
import { source } from './scene-data.ts';

/** A register as version 1 wrote it: a title beside the rows, one source, its history. */
export function versionOne(path: string): void {
  const db = new SqliteDatabase(path);
  db.pragma('journal_mode = WAL');
  db.pragma(`application_id = ${APPLICATION_ID}`);
  db.exec(MIGRATIONS[0]!);
  db.pragma('user_version = 1');
  const about = db.prepare('INSERT INTO about (key, value) VALUES (?, ?)');
  about.run('title', 'Älteres “Gerät”');
  about.run('invented', 'yes');
  about.run('made_at', '2026-01-01T00:00:00.000Z');
  const body = JSON.stringify(source('U1'));
  db.prepare("INSERT INTO source (designator, letter, place, revision, body) VALUES ('U1', 'A', 0, 1, ?)").run(body);
  db.exec("INSERT INTO step (standing) VALUES ('done')");
  db.prepare(
    `INSERT INTO history (step, at, who, subject, row_id, subject_key, action, summary, after)
     VALUES (1, '2026-01-02T00:00:00.000Z', 'someone', 'source', 1, 'source U1', 'add', 'added source U1', ?)`,
  ).run(`{"body":${body},"columns":{"designator":"U1","letter":"A","place":0},"gone":false}`);
  db.close();
}
