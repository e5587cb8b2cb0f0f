import type { Database } from 'better-sqlite3';
import type { Triage } from '../model/triage.ts';
import { columnBytes, columnOf, damaged, sha256 } from './blobs.ts';
import { fromJson, toJson } from './json.ts';

/** The last triage of each trace, with what it rests on. Derived, so not part of the history: it can be computed again. */
export class ResultStore {
  private readonly db: Database;
  private readonly file: string;
  constructor(db: Database, file: string) {
    this.db = db;
    this.file = file;
  }

  /** @param basis whatever the result depends on beside the trace (settings, condition, sources); a changed basis is a stale result */
  put(captureId: number, traceIndex: number, basis: string, triage: Triage): void {
    const { meanDb, thresholdDb, ...floor } = triage.floor;
    const columns = new Float64Array(2 * meanDb.length);
    columns.set(meanDb);
    columns.set(thresholdDb, meanDb.length);
    const bytes = columnBytes(columns);
    this.db
      .transaction(() => {
        this.db
          .prepare(
            'INSERT OR REPLACE INTO result (capture_id, trace_index, basis, body, floor_sha256, floor) VALUES (?, ?, ?, ?, ?, ?)',
          )
          .run(captureId, traceIndex, basis, toJson({ ...triage, floor }), sha256(bytes), bytes);
        this.db.prepare('DELETE FROM spur WHERE capture_id = ? AND trace_index = ?').run(captureId, traceIndex);
        const insert = this.db.prepare('INSERT INTO spur VALUES (?, ?, ?, ?, ?, ?, ?, ?)');
        for (const [i, spur] of triage.spurs.entries()) {
          const { cause, candidates } = triage.explanations[i]!;
          const first = cause === 'source' ? candidates[0] : undefined;
          insert.run(
            captureId,
            traceIndex,
            i,
            spur.frequencyHz,
            spur.levelDb,
            cause,
            first?.source ?? null,
            first?.harmonic ?? null,
          );
        }
      })
      .immediate();
  }

  get(captureId: number, traceIndex: number): { basis: string; triage: Triage } | null {
    const row = this.db
      .prepare('SELECT * FROM result WHERE capture_id = ? AND trace_index = ?')
      .get(captureId, traceIndex) as { basis: string; body: string; floor_sha256: string; floor: Buffer } | undefined;
    if (row === undefined) return null;
    if (sha256(row.floor) !== row.floor_sha256) throw damaged(this.file, `the floor of capture ${captureId}`);
    const columns = columnOf(row.floor);
    const half = columns.length / 2;
    const body = fromJson<Triage>(row.body);
    return {
      basis: row.basis,
      triage: { ...body, floor: { ...body.floor, meanDb: columns.slice(0, half), thresholdDb: columns.slice(half) } },
    };
  }

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
