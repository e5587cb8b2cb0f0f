import { basename } from 'node:path';
import type { Database } from 'better-sqlite3';
import type { AdoptedPlan } from '../model/adopted-plan.ts';
import type { BuildState, EnvironmentEvent, Fix } from '../model/build-state.ts';
import type { CalibrationChain, CalibrationTable, PointTransfer } from '../model/calibration.ts';
import type { Decision } from '../model/decision.ts';
import type { Disposition } from '../model/disposition.ts';
import type { PacketRecord } from '../model/freeze.ts';
import type { HistoryEntry } from '../model/history-entry.ts';
import type { MeasuringPoint } from '../model/measuring-point.ts';
import type { Requirement } from '../model/requirement.ts';
import type { WatchedFolder } from '../model/watched-folder.ts';
import type { Recheck } from '../model/recheck.ts';
import type { ReviewNote } from '../model/review-note.ts';
import { bandStore, type KeptBand } from './band-store.ts';
import { calibrationStore, chainStore, folderStore, transferStore } from './calibration-stores.ts';
import { Blobs } from './blobs.ts';
import { CaptureStore } from './capture-store.ts';
import { ChangeLog } from './change-log.ts';
import { decisionStore } from './decision-store.ts';
import { deepCheck } from './deep-check.ts';
import type { EntityStore } from './entity-store.ts';
import { eventStore } from './event-store.ts';
import { createRegisterFile } from './create-file.ts';
import { fixStore } from './fix-store.ts';
import { FreezeStore } from './freeze-store.ts';
import { guarded, inOurWords } from './guarded.ts';
import { versionOf } from './migrate.ts';
import { openRegisterFile } from './open-file.ts';
import { packetStore, recheckStore, reviewNoteStore } from './packet-stores.ts';
import { planStore } from './plan-store.ts';
import { PhotoStore } from './photo-store.ts';
import { pointStore } from './point-store.ts';
import { ResultStore } from './result-store.ts';
import { SettingsStore } from './settings-store.ts';
import { SourceStore } from './source-store.ts';
import { stateStore } from './state-store.ts';
import { dispositionStore, limitStore, requirementStore, type KeptLimit } from './verdict-stores.ts';

export interface RegisterOptions {
  /** The clock; passed in so that tests and re-runs can fix it. */
  readonly now: () => Date;
  /** Who makes the changes, for the history. */
  readonly who: string;
  /** How long to wait for another program that is writing. Default 5000 ms. */
  readonly busyTimeoutMs?: number;
}

/** What a register says of itself. */
export interface RegisterFacts {
  readonly title: string;
  readonly isInvented: boolean;
  readonly schemaVersion: number;
  readonly captures: number;
  readonly sources: number;
  readonly states: number;
  readonly keptAt: string;
  readonly undoSummary: string | null;
  readonly redoSummary: string | null;
}

/**
 * One payload build's memory: a SQLite file. All changes go through stores that write the history in the same transaction; a change
 * is on the disk (WAL, synchronous FULL) when the call returns. Several processes may have it open.
 */
export class Register {
  readonly path: string;
  readonly readOnly: boolean;
  readonly sources: SourceStore;
  readonly captures: CaptureStore;
  readonly results: ResultStore;
  readonly settings: SettingsStore;
  readonly bands: EntityStore<KeptBand>;
  readonly states: EntityStore<BuildState>;
  readonly fixes: EntityStore<Fix>;
  readonly points: EntityStore<MeasuringPoint>;
  readonly events: EntityStore<EnvironmentEvent>;
  readonly decisions: EntityStore<Decision>;
  readonly limits: EntityStore<KeptLimit>;
  readonly requirements: EntityStore<Requirement>;
  readonly dispositions: EntityStore<Disposition>;
  readonly plans: EntityStore<AdoptedPlan>;
  readonly calibrations: EntityStore<CalibrationTable>;
  readonly chains: EntityStore<CalibrationChain>;
  readonly transfers: EntityStore<PointTransfer>;
  readonly folders: EntityStore<WatchedFolder>;
  readonly freezes: FreezeStore;
  readonly packets: EntityStore<PacketRecord>;
  readonly rechecks: EntityStore<Recheck>;
  readonly reviewNotes: EntityStore<ReviewNote>;
  readonly photos: PhotoStore;
  private readonly db: Database;
  private readonly log: ChangeLog;
  private readonly blobs: Blobs;
  private readonly afterClose: () => void;
  private dataVersion: number;

  constructor(db: Database, path: string, readOnly: boolean, afterClose: () => void, options: RegisterOptions) {
    const file = basename(path);
    this.db = db;
    this.path = path;
    this.readOnly = readOnly;
    this.afterClose = afterClose;
    this.log = new ChangeLog(db, options.now, options.who);
    this.blobs = new Blobs(db, file);
    this.sources = guarded(new SourceStore(db, this.log), file);
    this.captures = guarded(new CaptureStore(db, this.log, this.blobs, options.now), file);
    this.results = guarded(new ResultStore(db, file), file);
    this.settings = guarded(new SettingsStore(db, this.log), file);
    this.bands = guarded(bandStore(db, this.log), file);
    this.states = guarded(stateStore(db, this.log), file);
    this.fixes = guarded(fixStore(db, this.log), file);
    this.points = guarded(pointStore(db, this.log), file);
    this.events = guarded(eventStore(db, this.log), file);
    this.decisions = guarded(decisionStore(db, this.log), file);
    this.limits = guarded(limitStore(db, this.log), file);
    this.requirements = guarded(requirementStore(db, this.log), file);
    this.dispositions = guarded(dispositionStore(db, this.log), file);
    this.plans = guarded(planStore(db, this.log), file);
    this.calibrations = guarded(calibrationStore(db, this.log), file);
    this.chains = guarded(chainStore(db, this.log), file);
    this.transfers = guarded(transferStore(db, this.log), file);
    this.folders = guarded(folderStore(db, this.log), file);
    this.freezes = guarded(new FreezeStore(db, this.log, this.blobs), file);
    this.packets = guarded(packetStore(db, this.log), file);
    this.rechecks = guarded(recheckStore(db, this.log), file);
    this.reviewNotes = guarded(reviewNoteStore(db, this.log), file);
    this.photos = guarded(new PhotoStore(db, this.log, this.blobs), file);
    this.dataVersion = this.readDataVersion();
  }

  /** Several acts as one step of the history: all are kept, or none. */
  step<T>(act: () => T): T {
    return this.log.step(act);
  }

  facts(): RegisterFacts {
    const about = (key: string): string | undefined =>
      this.db.prepare('SELECT value FROM about WHERE key = ?').pluck().get(key) as string | undefined;
    const count = (table: string): number =>
      this.db.prepare(`SELECT count(*) FROM ${table} WHERE gone = 0`).pluck().get() as number;
    const title = this.settings.get('title');
    const lastChange = this.db.prepare('SELECT at FROM history ORDER BY id DESC LIMIT 1').pluck().get();
    return {
      title: typeof title === 'string' ? title : basename(this.path),
      isInvented: about('invented') === 'yes',
      schemaVersion: versionOf(this.db),
      captures: count('capture'),
      sources: count('source'),
      states: count('state'),
      keptAt: (lastChange as string | undefined) ?? about('made_at') ?? '',
      undoSummary: this.log.nextSummary('undo'),
      redoSummary: this.log.nextSummary('redo'),
    };
  }

  /** Newest first; with `beforeId` only entries older than that one. */
  history(limit: number, beforeId: number | null): HistoryEntry[] {
    return this.log.list(limit, beforeId);
  }

  /** Puts all that was done so far beyond undo and redo. The history keeps it. */
  settle(): void {
    this.log.settle();
  }

  /** Takes the latest step back. @throws RegisterError `refused`, `stale` */
  undo(): void {
    this.log.undo();
  }

  /** Does again what was taken back. @throws RegisterError `refused`, `stale` */
  redo(): void {
    this.log.redo();
  }

  /** True once after another process or connection changed the file. */
  changedElsewhere(): boolean {
    const version = this.readDataVersion();
    const changed = version !== this.dataVersion;
    this.dataVersion = version;
    return changed;
  }

  private readDataVersion(): number {
    return this.db.pragma('data_version', { simple: true }) as number;
  }

  /** Checks every page, checksum and row; see deepCheck. Reads the whole file. */
  check(): string[] {
    return deepCheck(this.db, this.log, this.blobs);
  }

  close(): void {
    this.db.close();
    this.afterClose();
  }
}

/** Makes a new register. @throws RegisterError `exists` where the file is there already; `not-found`, `read-only`, `disk-full` */
export function createRegister(
  path: string,
  about: { readonly title: string; readonly isInvented: boolean },
  options: RegisterOptions,
): Register {
  inOurWords(basename(path), () => createRegisterFile(path, about, options.now()));
  return openRegister(path, options);
}

/**
 * Opens a register: read-only where the file or its folder cannot be written.
 *
 * @throws RegisterError not-a-register, newer-version, locked, damaged, not-found
 */
export function openRegister(path: string, options: RegisterOptions): Register {
  const file = basename(path);
  return inOurWords(file, () => {
    const opened = openRegisterFile(path, options.busyTimeoutMs ?? 5000);
    try {
      return guarded(new Register(opened.db, path, opened.readOnly, opened.afterClose, options), file);
    } catch (error) {
      opened.db.close();
      opened.afterClose();
      throw error;
    }
  });
}
