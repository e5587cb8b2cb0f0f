import type { Database } from 'better-sqlite3';
import { sha256, type Blobs } from './blobs.ts';
import { SUBJECTS, type ChangeLog, type RowImage } from './change-log.ts';
import { canonicalJson, fromJson } from './json.ts';
import { RegisterError } from './register-error.ts';

/**
 * Checks everything a register keeps, not only its pages: that every blob has its checksum, that every row is what the last entry
 * of its history left, and that nothing points nowhere. Reads the whole file.
 *
 * @returns one line for each thing found wrong; none for a sound register
 */
export function deepCheck(db: Database, log: ChangeLog, blobs: Blobs): string[] {
  const problems: string[] = [];
  const note = (what: string, act: () => void): void => {
    try {
      act();
    } catch (error) {
      problems.push(`${what}: ${error instanceof RegisterError ? error.problem.found : String(error)}`);
    }
  };
  for (const line of db.pragma('integrity_check') as { integrity_check: string }[])
    if (line.integrity_check !== 'ok') problems.push(line.integrity_check);
  for (const line of db.pragma('foreign_key_check') as { table: string; rowid: number; parent: string }[])
    problems.push(`${line.table} ${line.rowid} points to a ${line.parent} that is not there`);
  for (const sum of db.prepare('SELECT sha256 FROM blob ORDER BY sha256').pluck().all() as string[])
    note(`blob ${sum}`, () => void blobs.get(sum, sum));
  const results = db.prepare('SELECT capture_id, trace_index, numbers_sha256, numbers FROM result').all();
  for (const row of results as { capture_id: number; trace_index: number; numbers_sha256: string; numbers: Buffer }[])
    if (sha256(row.numbers) !== row.numbers_sha256)
      problems.push(
        `the result of capture ${row.capture_id}, trace ${row.trace_index + 1}: not the bytes that were kept`,
      );
  const lastAfter = db
    .prepare('SELECT after FROM history WHERE subject = ? AND row_id = ? ORDER BY id DESC LIMIT 1')
    .pluck();
  for (const subject of SUBJECTS)
    for (const id of db.prepare(`SELECT id FROM ${subject} ORDER BY id`).pluck().all() as number[])
      note(`${subject} ${id}`, () => {
        const left = lastAfter.get(subject, id) as string | null | undefined;
        // rows from before there was a history of their kind (the title) have no entry
        if (
          typeof left === 'string' &&
          canonicalJson(fromJson<RowImage>(left)) !== canonicalJson(log.read(subject, id))
        )
          problems.push(`${subject} ${id}: not what the last entry of its history left`);
      });
  return problems;
}
