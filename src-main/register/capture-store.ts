import type { Database } from 'better-sqlite3';
import type { Capture, CaptureSettings } from '../model/capture.ts';
import type { Condition } from '../model/condition.ts';
import type { InstrumentLine } from '../model/instrument-line.ts';
import type { LevelUnit } from '../model/level-unit.ts';
import type { Trace } from '../model/trace.ts';
import { columnBytes, columnOf, type Blobs } from './blobs.ts';
import type { ChangeLog } from './change-log.ts';
import { notThere } from './entity-store.ts';
import { fromJson } from './json.ts';
import { RegisterError } from './register-error.ts';
import { isThere } from './rests-on.ts';

/** What is kept of one trace beside its columns. */
export interface TraceHead {
  readonly label: string;
  readonly points: number;
  readonly blankPoints: number;
  readonly startHz: number;
  readonly stopHz: number;
  readonly unit: LevelUnit;
  readonly settings: CaptureSettings;
  /** As in Trace. */
  readonly instrument?: readonly InstrumentLine[];
  readonly axis?: 'offset';
}

/** What a capture's levels are taken through when they are looked at; the levels kept stay those of the file. */
export interface CaptureCalibration {
  readonly chainId: number | null;
  readonly transferId: number | null;
}

export interface StoredCapture {
  readonly id: number;
  readonly file: string;
  readonly sha256: string;
  readonly layout: string;
  readonly warnings: readonly string[];
  readonly traces: readonly TraceHead[];
  readonly traceIndex: number;
  readonly stateId: number | null;
  readonly pointId: number | null;
  readonly condition: Condition;
  readonly addedAt: string;
  /** Left out: none. */
  readonly calibration?: CaptureCalibration;
  /** Files that belong to it: a recording's samples, an axis. Left out: it is whole by itself. */
  readonly beside?: readonly FileBesideKept[];
}

/** A file that a capture cannot be read again without. */
export interface FileBesideKept {
  readonly file: string;
  readonly sha256: string;
  readonly bytes: number;
  /** False: too large for a register; it stays where it is, and its checksum tells whether it is still the same. */
  readonly isKept: boolean;
}

/** A file beside a capture as it is handed over: its bytes, or of one too large its length and checksum. */
export type BesideGiven = Uint8Array | { readonly length: number; readonly sha256: string };

type Body = Omit<StoredCapture, 'id' | 'sha256' | 'stateId' | 'pointId'>;

interface Row {
  id: number;
  sha256: string;
  state_id: number | null;
  point_id: number | null;
  body: string;
}

/** What an assignment changes; a field left out stays. */
export interface Assignment {
  readonly stateId?: number | null | undefined;
  readonly pointId?: number | null | undefined;
  readonly condition?: Partial<Condition> | undefined;
  readonly traceIndex?: number | undefined;
  readonly calibration?: CaptureCalibration | undefined;
}

/** Captures with their original bytes and their traces. */
export class CaptureStore {
  private readonly db: Database;
  private readonly log: ChangeLog;
  private readonly blobs: Blobs;
  private readonly now: () => Date;

  constructor(db: Database, log: ChangeLog, blobs: Blobs, now: () => Date) {
    this.db = db;
    this.log = log;
    this.blobs = blobs;
    this.now = now;
  }

  list(): StoredCapture[] {
    return (this.db.prepare('SELECT * FROM capture WHERE gone = 0 ORDER BY id').all() as Row[]).map(stored);
  }

  /** @throws RegisterError `not-found` */
  get(id: number): StoredCapture {
    const row = this.db.prepare('SELECT * FROM capture WHERE id = ? AND gone = 0').get(id) as Row | undefined;
    if (row === undefined) throw notThere(`capture ${id}`);
    return stored(row);
  }

  findBySha256(sum: string): StoredCapture | null {
    const row = this.db.prepare('SELECT * FROM capture WHERE sha256 = ? AND gone = 0').get(sum) as Row | undefined;
    return row === undefined ? null : stored(row);
  }

  /**
   * Takes a capture in, with the bytes of its file. The same bytes again add nothing.
   *
   * @param bytes those whose SHA-256 the capture states
   * @param beside files that it cannot be read again without, by name
   * @throws RegisterError `disk-full`, `read-only`, `locked`; nothing is half-written then
   */
  add(
    capture: Capture,
    bytes: Uint8Array,
    condition: Condition,
    traceIndex: number,
    beside: ReadonlyMap<string, BesideGiven> = new Map(),
  ): { capture: StoredCapture; alreadyKnown: boolean } {
    return this.log.step(() => {
      // inside the transaction: another window may take in the same file at the same moment
      const known = this.findBySha256(capture.sha256);
      if (known !== null) return { capture: known, alreadyKnown: true };
      const sum = this.blobs.put(bytes, 'deflate');
      if (sum !== capture.sha256)
        throw new Error(`bytes of ${capture.file} have the SHA-256 ${sum}, not the stated one`);
      const body: Body = {
        file: capture.file,
        layout: capture.layout,
        warnings: capture.warnings,
        traces: capture.traces.map(headOf),
        traceIndex,
        condition,
        addedAt: this.now().toISOString(),
        ...(beside.size === 0 ? {} : { beside: [...beside].map(([file, given]) => this.keepBeside(file, given)) }),
      };
      const columns = { sha256: capture.sha256, state_id: null, point_id: null };
      const id = this.log.add('capture', body, columns, (key) => `capture ${key}`, `took in capture ${capture.file}`);
      const insert = this.db.prepare(
        'INSERT INTO trace (capture_id, trace_index, frequency_sha256, level_sha256) VALUES (?, ?, ?, ?)',
      );
      for (const [index, trace] of capture.traces.entries())
        insert.run(
          id,
          index,
          this.blobs.put(columnBytes(trace.frequencyHz), 'none'),
          this.blobs.put(columnBytes(trace.level), 'none'),
        );
      return { capture: this.get(id), alreadyKnown: false };
    });
  }

  /** @throws RegisterError `damaged` where its bytes changed on disk */
  trace(id: number, index: number): Trace {
    const capture = this.get(id);
    const head = capture.traces[index];
    const row = this.db.prepare('SELECT * FROM trace WHERE capture_id = ? AND trace_index = ?').get(id, index) as
      { frequency_sha256: string; level_sha256: string } | undefined;
    if (head === undefined || row === undefined)
      throw new RegisterError('not-found', {
        file: capture.file,
        place: `trace ${index + 1}`,
        found: 'nothing',
        expected: `one of ${capture.traces.length} traces`,
        wayOut: 'Choose another trace.',
      });
    const what = `capture ${capture.file}, trace ${index + 1}`;
    return {
      label: head.label,
      unit: head.unit,
      settings: head.settings,
      ...(head.instrument === undefined ? {} : { instrument: head.instrument }),
      ...(head.axis === undefined ? {} : { axis: head.axis }),
      frequencyHz: columnOf(this.blobs.get(row.frequency_sha256, what)),
      level: columnOf(this.blobs.get(row.level_sha256, what)),
    };
  }

  /** True where these bytes were ever taken in, also where the capture was removed since. */
  wasTaken(sum: string): boolean {
    return this.db.prepare('SELECT 1 FROM capture WHERE sha256 = ?').get(sum) !== undefined;
  }

  /** Adds a trace that was made of the capture's own bytes (another spectrum of a recording) and chooses it. @returns its index */
  addTrace(id: number, trace: Trace): number {
    return this.log.step(() => {
      const old = this.get(id);
      const index = old.traces.length;
      // what an undone addition left behind is in the way, and so is what was found in it
      for (const table of ['trace', 'result', 'spur'])
        this.db.prepare(`DELETE FROM ${table} WHERE capture_id = ? AND trace_index >= ?`).run(id, index);
      const body: Body = { ...bodyOf(old), traces: [...old.traces, headOf(trace)], traceIndex: index };
      const columns = { sha256: old.sha256, state_id: old.stateId, point_id: old.pointId };
      this.db
        .prepare('INSERT INTO trace (capture_id, trace_index, frequency_sha256, level_sha256) VALUES (?, ?, ?, ?)')
        .run(
          id,
          index,
          this.blobs.put(columnBytes(trace.frequencyHz), 'none'),
          this.blobs.put(columnBytes(trace.level), 'none'),
        );
      const summary = `made another spectrum of capture ${old.file}`;
      this.log.change('capture', id, { body, columns, gone: false }, `capture ${id}`, summary);
      return index;
    });
  }

  /** The file's original bytes. */
  bytes(id: number): Uint8Array {
    const capture = this.get(id);
    return new Uint8Array(this.blobs.get(capture.sha256, `the bytes of ${capture.file}`));
  }

  /** The files that were kept beside it, by name. @throws RegisterError `damaged` where their bytes changed on disk */
  beside(id: number): ReadonlyMap<string, Uint8Array> {
    const { beside = [], file } = this.get(id);
    const kept = beside.filter(({ isKept }) => isKept);
    return new Map(
      kept.map((one) => [one.file, new Uint8Array(this.blobs.get(one.sha256, `${one.file}, beside ${file}`))]),
    );
  }

  private keepBeside(file: string, given: BesideGiven): FileBesideKept {
    if (!(given instanceof Uint8Array)) return { file, sha256: given.sha256, bytes: given.length, isKept: false };
    return { file, sha256: this.blobs.put(given, 'deflate'), bytes: given.length, isKept: true };
  }

  /** Puts several captures to a state, point or condition in one step. @throws RegisterError `not-found` */
  assign(
    ids: readonly number[],
    { stateId, pointId, condition, traceIndex, calibration }: Assignment,
  ): StoredCapture[] {
    return this.log.step(() => {
      if (typeof stateId === 'number' && !isThere(this.db, 'state', stateId)) throw notThere(`state ${stateId}`);
      if (typeof pointId === 'number' && !isThere(this.db, 'point', pointId)) throw notThere(`point ${pointId}`);
      return ids.map((id) => {
        const old = this.get(id);
        const body: Body = {
          ...bodyOf(old),
          condition: { ...old.condition, ...condition },
          traceIndex: traceIndex ?? old.traceIndex,
          ...(calibration === undefined ? {} : { calibration }),
        };
        const columns = {
          sha256: old.sha256,
          state_id: stateId === undefined ? old.stateId : stateId,
          point_id: pointId === undefined ? old.pointId : pointId,
        };
        const places = [
          ...(columns.state_id === old.stateId ? [] : [this.nameOf('state', columns.state_id)]),
          ...(columns.point_id === old.pointId ? [] : [this.nameOf('point', columns.point_id)]),
        ];
        const summary =
          places.length === 0 ? `changed capture ${old.file}` : `put capture ${old.file} to ${places.join(' and ')}`;
        this.log.change('capture', id, { body, columns, gone: false }, `capture ${id}`, summary);
        return this.get(id);
      });
    });
  }

  private nameOf(table: 'state' | 'point', id: number | null): string {
    if (id === null) return `no ${table}`;
    const name = this.db.prepare(`SELECT json_extract(body, '$.name') FROM ${table} WHERE id = ?`).pluck().get(id);
    return `${table} ${name as string}`;
  }

  /** @throws RegisterError `refused` where decisions rest on it */
  remove(ids: readonly number[]): void {
    this.log.step(() => {
      for (const id of ids) {
        const capture = this.get(id);
        const decisions = this.db
          .prepare('SELECT count(*) FROM decision WHERE capture_id = ? AND gone = 0')
          .pluck()
          .get(id) as number;
        if (decisions > 0)
          throw new RegisterError('refused', {
            file: 'the register',
            place: `capture ${capture.file}`,
            found: `${decisions} decision(s) that rest on it`,
            expected: 'none',
            wayOut: 'Take these decisions back first.',
          });
        this.log.remove('capture', id, `capture ${id}`, `removed capture ${capture.file}`);
      }
    });
  }
}

function headOf(trace: Trace): TraceHead {
  let blankPoints = 0;
  for (const v of trace.level) if (Number.isNaN(v)) blankPoints++;
  const points = trace.frequencyHz.length;
  return {
    label: trace.label,
    points,
    blankPoints,
    startHz: trace.frequencyHz[0]!,
    stopHz: trace.frequencyHz[points - 1]!,
    unit: trace.unit,
    settings: trace.settings,
    ...(trace.instrument === undefined ? {} : { instrument: trace.instrument }),
    ...(trace.axis === undefined ? {} : { axis: trace.axis }),
  };
}

function stored(row: Row): StoredCapture {
  return {
    ...fromJson<Body>(row.body),
    id: row.id,
    sha256: row.sha256,
    stateId: row.state_id,
    pointId: row.point_id,
  };
}

function bodyOf({ id: _id, sha256: _sum, stateId: _state, pointId: _point, ...body }: StoredCapture): Body {
  return body;
}
