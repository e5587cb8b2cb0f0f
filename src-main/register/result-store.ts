import type { Database } from 'better-sqlite3';
import type { Triage } from '../model/triage.ts';
import { columnBytes, columnOf, damaged, sha256 } from './blobs.ts';
import { fromJson, toJson } from './json.ts';
import { packTriage, unpackTriage } from './packed-triage.ts';

/**
 * The last triage of each trace, with what it rests on, and its spurs as rows that can be searched.
 *
 * Derived, so not part of the history: it can be computed again.
 */
export class ResultStore {
  private readonly db: Database;
  private readonly file: string;
  constructor(db: Database, file: string) {
    this.db = db;
    this.file = file;
  }

  /** @param basis whatever the result depends on beside the trace (settings, condition, sources); a changed basis is a stale result */
  put(captureId: number, traceIndex: number, basis: string, triage: Triage): void {
    const { body, numbers } = packTriage(triage);
    const bytes = columnBytes(numbers);
    this.db
      .transaction(() => {
        this.db
          .prepare(
            'INSERT OR REPLACE INTO result (capture_id, trace_index, basis, body, numbers_sha256, numbers) VALUES (?, ?, ?, ?, ?, ?)',
          )
          .run(captureId, traceIndex, basis, toJson(body), sha256(bytes), bytes);
        this.putSpurs(captureId, traceIndex, triage);
      })
      .immediate();
  }

  private putSpurs(captureId: number, traceIndex: number, { spurs, explanations }: Triage): void {
    this.db.prepare('DELETE FROM spur WHERE capture_id = ? AND trace_index = ?').run(captureId, traceIndex);
    const insert = this.db.prepare('INSERT INTO spur VALUES (?, ?, ?, ?, ?, ?, ?, ?)');
    for (const [place, { frequencyHz, levelDb }] of spurs.entries()) {
      const { cause, candidates } = explanations[place]!;
      // only where one owner is meant: candidates of other causes are no attribution
      const owner = cause === 'source' ? candidates[0] : undefined;
      const named = [owner?.source ?? null, owner?.harmonic ?? null];
      insert.run(captureId, traceIndex, place, frequencyHz, levelDb, cause, ...named);
    }
  }

  /** Null before a first triage. @throws RegisterError `damaged` where its bytes changed on disk */
  get(captureId: number, traceIndex: number): { basis: string; triage: Triage } | null {
    const row = this.db
      .prepare('SELECT * FROM result WHERE capture_id = ? AND trace_index = ?')
      .get(captureId, traceIndex) as
      { basis: string; body: string; numbers_sha256: string; numbers: Buffer } | undefined;
    if (row === undefined) return null;
    if (sha256(row.numbers) !== row.numbers_sha256) throw damaged(this.file, `the result of capture ${captureId}`);
    return {
      basis: row.basis,
      triage: unpackTriage({ body: fromJson<unknown>(row.body), numbers: columnOf(row.numbers) }),
    };
  }

  /** Null before a first triage. */
  spurCount(captureId: number, traceIndex: number): number | null {
    const kept = this.db
      .prepare('SELECT 1 FROM result WHERE capture_id = ? AND trace_index = ?')
      .get(captureId, traceIndex);
    if (kept === undefined) return null;
    return this.db
      .prepare('SELECT count(*) FROM spur WHERE capture_id = ? AND trace_index = ?')
      .pluck()
      .get(captureId, traceIndex) as number;
  }
}
