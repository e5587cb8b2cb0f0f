import type { Trace } from '../model/trace.ts';
import type { Triage } from '../model/triage.ts';
import { columnToDecibels } from '../units/levels.ts';
import type { StoredCapture } from '../register/capture-store.ts';
import type { Register } from '../register/register.ts';
import type { Calibrated } from '../engine/calibration/apply-chain.ts';
import { calibratedTrace } from './steps/calibrated-trace.ts';
import { withStatedUnit } from './steps/choose-trace.ts';
import { combineLevels, type LaidTrace } from './steps/combine-levels.ts';
import type { Events, EventName, RegisterInfo } from './contract.ts';
import { MinMaxPyramid } from './min-max-pyramid.ts';
import type { RecentRegisters } from './recent-registers.ts';
import { SizedCache } from './sized-cache.ts';
import type { DrawnTrace } from './thin-trace.ts';

/** A triage with what it was computed from: it is stale once the present basis differs. */
export interface KeptTriage {
  readonly traceIndex: number;
  /** Fingerprint of trace, condition, sources and settings; see triage-key.ts. */
  readonly basis: string;
  readonly triage: Triage;
}

export type Emit = <E extends EventName>(name: E, event: Events[E]) => void;

export interface SessionSettings {
  readonly dataFolder: string;
  readonly documentsFolder: string;
  readonly recent: RecentRegisters;
  readonly emit: Emit;
  readonly who: string;
  readonly now: () => Date;
}

/** How often the register file is asked whether another window wrote to it. */
const WATCH_MS = 1000;
/** Traces of 10⁷ points take 240 MB with their pyramid: one of them, or many small ones. */
const DRAWN_BYTES = 256 * 1024 * 1024;
const TRIAGE_BYTES = 256 * 1024 * 1024;

/** A register that is open, and who it is to the windows that show it. */
export interface OpenedRegister {
  readonly register: Register;
  readonly isScratch: boolean;
  /** What the address of a page carries so as to come back to this register; it says nothing of the path. */
  readonly key: string;
}

/**
 * One open register, what is remembered of it in memory, and the watch for changes by other programs. All windows that show the register
 * share one session.
 */
export class Session {
  readonly settings: SessionSettings;
  readonly register: Register;
  readonly key: string;
  readonly #isScratch: boolean;
  #lastHistoryId: number;
  readonly #drawn = new SizedCache<string, DrawnTrace>(DRAWN_BYTES);
  readonly #triages = new SizedCache<string, KeptTriage>(TRIAGE_BYTES);
  readonly #watch: NodeJS.Timeout;

  constructor(settings: SessionSettings, { register, isScratch, key }: OpenedRegister) {
    this.settings = settings;
    this.register = register;
    this.key = key;
    this.#isScratch = isScratch;
    this.#lastHistoryId = this.#newestHistoryId();
    this.#watch = setInterval(() => this.#lookForChanges(), WATCH_MS);
    // The watch alone must not keep the program alive.
    this.#watch.unref();
  }

  close(): void {
    clearInterval(this.#watch);
    this.register.close();
  }

  info(): RegisterInfo {
    const { register } = this;
    const facts = register.facts();
    return {
      path: register.path,
      key: this.key,
      ...facts,
      isScratch: this.#isScratch,
      readOnly: register.readOnly,
      canUndo: !register.readOnly && facts.undoSummary !== null,
      canRedo: !register.readOnly && facts.redoSummary !== null,
    };
  }

  /** Tells the pages what changed and forgets what was computed from it. */
  changed(subjects: readonly string[]): void {
    this.#lastHistoryId = this.#newestHistoryId();
    this.settings.emit('registerChanged', { subjects });
  }

  /** Tells the pages of everything that the history holds after this entry; with nothing there only results can have changed. */
  changedSince(historyId: number): void {
    const news = this.register.history(1000, null).filter(({ id }) => id > historyId);
    this.changed(news.length === 0 ? ['triage'] : [...new Set(news.map(({ subject }) => subject))]);
  }

  /** A trace ready to be drawn; kept in memory while it is looked at. */
  drawn(capture: StoredCapture, traceIndex: number): DrawnTrace {
    return (
      this.#drawn.get(this.#drawnKey(capture, traceIndex)) ??
      this.keepDrawn(capture, traceIndex, this.trace(capture, traceIndex))
    );
  }

  /** Makes a trace ready to be drawn and keeps it: a capture just read need not be fetched from the register again. */
  keepDrawn(capture: StoredCapture, traceIndex: number, trace: Trace): DrawnTrace {
    const levelDb = columnToDecibels(trace.level, trace.unit);
    const drawn = { frequencyHz: trace.frequencyHz, levelDb, pyramid: new MinMaxPyramid(levelDb) };
    this.#drawn.set(this.#drawnKey(capture, traceIndex), drawn, 2 * levelDb.byteLength);
    return drawn;
  }

  /** Several captures' chosen traces as one, ready to be drawn. @throws Refused where axes or units differ */
  combined(captures: readonly [StoredCapture, ...StoredCapture[]], combine: 'largest' | 'mean'): DrawnTrace {
    const key = `${combine} of ${captures.map((capture) => this.#drawnKey(capture, capture.traceIndex)).join()}`;
    const known = this.#drawn.get(key);
    if (known !== undefined) return known;
    const [first, ...others] = captures;
    const lay = (capture: StoredCapture): LaidTrace => ({
      file: capture.file,
      unit: this.trace(capture, capture.traceIndex).unit.name,
      ...this.drawn(capture, capture.traceIndex),
    });
    const levelDb = combineLevels([lay(first), ...others.map(lay)], combine);
    const { frequencyHz } = this.drawn(first, first.traceIndex);
    const drawn = { frequencyHz, levelDb, pyramid: new MinMaxPyramid(levelDb) };
    this.#drawn.set(key, drawn, 2 * levelDb.byteLength);
    return drawn;
  }

  /** A trace with the unit that holds for it, through the capture's calibration chain with what that adds in doubt. */
  calibrated(capture: StoredCapture, traceIndex: number): Calibrated {
    const trace = withStatedUnit(this.register.captures.trace(capture.id, traceIndex), capture.condition);
    return calibratedTrace(this.register, capture, trace);
  }

  /** A trace with the unit that holds for it, calibrated. */
  trace(capture: StoredCapture, traceIndex: number): Trace {
    return this.calibrated(capture, traceIndex).trace;
  }

  /** The last triage kept of a capture's chosen trace, fresh or stale. */
  triage({ id, traceIndex }: StoredCapture): KeptTriage | null {
    const known = this.#triages.get(`${id}/${traceIndex}`);
    if (known !== undefined) return known;
    const result = this.register.results.get(id, traceIndex);
    if (result === null) return null;
    const kept = { ...result, traceIndex };
    this.#remember(id, kept);
    return kept;
  }

  keepTriage(captureId: number, kept: KeptTriage): void {
    this.register.results.put(captureId, kept.traceIndex, kept.basis, kept.triage);
    this.#remember(captureId, kept);
  }

  #remember(captureId: number, kept: KeptTriage): void {
    this.#triages.set(`${captureId}/${kept.traceIndex}`, kept, kept.triage.floor.meanDb.byteLength * 2);
  }

  /** What decides how a trace is drawn: its unit may change what is power and what amplitude, its chain's tables what is added. */
  #drawnKey({ id, condition, calibration, traces }: StoredCapture, traceIndex: number): string {
    const { calibrations, chains } = this.register;
    const { chainId = null, transferId = null } = calibration ?? {};
    const tables = (chainId === null ? null : chains.get(chainId))?.tableIds ?? [];
    const revisions = tables.map((table) => `${table}:${calibrations.revisionOf(table)}`);
    // of a record another spectrum can stand at the same place after an undo
    const { label, points, settings } = traces[traceIndex] ?? { settings: null };
    return JSON.stringify([id, traceIndex, condition.unit, revisions, transferId, label, points, settings?.rbwHz]);
  }

  #newestHistoryId(): number {
    return this.register.history(1, null)[0]?.id ?? 0;
  }

  #lookForChanges(): void {
    try {
      if (!this.register.changedElsewhere()) return;
      this.#triages.clear();
      this.changedSince(this.#lastHistoryId);
    } catch {
      // The file may be away for a moment (a network drive, another window's lock): the next look tells.
    }
  }
}
