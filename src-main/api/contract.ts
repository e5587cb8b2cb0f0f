/**
 * The only door between the page and everything else. Types only.
 *
 * Every call takes one argument object and gives plain data or fails with an `ApiProblem`; numbers in bulk travel in typed arrays.
 * Levels named `…Db` are decibels of the capture's unit; `level` columns of a trace are in that unit.
 */
import type { LineExplanation } from '../model/attribution.ts';
import type { BuildState, ConfigurationItem, EnvironmentEvent, Fix } from '../model/build-state.ts';
import type { CaptureSettings } from '../model/capture.ts';
import type { CombBelow } from '../model/comb-below.ts';
import type { Comb, SourceNotSeen } from '../model/comb.ts';
import type { LineFamily, SpreadEstimate } from '../model/line-family.ts';
import type { CaptureRole, Condition } from '../model/condition.ts';
import type { Decision } from '../model/decision.ts';
import type { HistoryEntry } from '../model/history-entry.ts';
import type { InputProblem } from '../model/input-problem.ts';
import type { LevelUnit } from '../model/level-unit.ts';
import type { MeasuringPoint } from '../model/measuring-point.ts';
import type { Source } from '../model/source.ts';
import type { Spur } from '../model/spur.ts';
import type { Track, SourceChange } from '../model/track.ts';
import type { TriageSettings } from '../model/triage-settings.ts';
import type { Band } from '../model/band.ts';
import type { CaptureArrived, RecordingCalls } from './contract/recording-calls.ts';
import type { EvidenceCalls } from './contract/evidence-calls.ts';
import type { PacketCalls } from './contract/packet-calls.ts';
import type { PlanCalls } from './contract/plan-calls.ts';
import type { FileBeside, ReadingCalls } from './contract/reading-calls.ts';
import type { ReadingHints } from '../model/reading-hints.ts';
import type { VerdictCalls } from './contract/verdict-calls.ts';
import type { PhotoCalls } from './contract/photo-calls.ts';
import type { ShellCalls } from './contract/shell-calls.ts';
import type { WaterfallCalls } from './contract/waterfall-calls.ts';

/** Why a call failed. `input`: the user's file or value; `refused`: the state of things forbids it; `cancelled`; `internal`: our fault. */
export interface ApiProblem {
  readonly kind: 'input' | 'refused' | 'cancelled' | 'internal';
  readonly message: string;
  readonly problem: InputProblem | null;
}

export type Answer<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly problem: ApiProblem };

export interface About {
  readonly version: string;
  readonly host: 'electron' | 'loopback' | 'direct';
  readonly platform: string;
  /** Folder where new registers are offered. */
  readonly documentsFolder: string;
}

export interface RegisterInfo {
  readonly path: string;
  /** What the address of a window carries so as to show this register again; made by the program, good while it runs. */
  readonly key: string;
  readonly title: string;
  /** True for the register that is opened when the user has not chosen one. */
  readonly isScratch: boolean;
  /** True for the invented demonstration register. */
  readonly isInvented: boolean;
  readonly readOnly: boolean;
  readonly schemaVersion: number;
  readonly captures: number;
  readonly sources: number;
  readonly states: number;
  /** ISO 8601 date-time of the last change kept. */
  readonly keptAt: string;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  /** One line each: what undo / redo would do. */
  readonly undoSummary: string | null;
  readonly redoSummary: string | null;
}

export interface RecentRegister {
  readonly path: string;
  readonly title: string;
  readonly openedAt: string;
  readonly exists: boolean;
}

export interface FolderEntry {
  readonly name: string;
  readonly path: string;
  readonly kind: 'folder' | 'register' | 'file';
}

export interface FolderListing {
  readonly path: string;
  readonly parent: string | null;
  readonly entries: readonly FolderEntry[];
}

export interface TraceSummary {
  readonly label: string;
  readonly points: number;
  readonly blankPoints: number;
  readonly startHz: number;
  readonly stopHz: number;
  readonly unit: LevelUnit;
  readonly settings: CaptureSettings;
}

export interface CaptureSummary {
  readonly id: number;
  readonly file: string;
  readonly sha256: string;
  readonly layout: string;
  readonly warnings: readonly string[];
  readonly traces: readonly TraceSummary[];
  /** Index of the trace that is analysed. */
  readonly traceIndex: number;
  readonly stateId: number | null;
  readonly pointId: number | null;
  readonly condition: Condition;
  /** ISO 8601 date-time it was taken in. */
  readonly addedAt: string;
  /** What its levels are taken through; left out: nothing. */
  readonly calibration?: { readonly chainId: number | null; readonly transferId: number | null };
  /** Files that belong to it, each kept with it or (too large) known by its checksum; left out: none. */
  readonly beside?: readonly {
    readonly file: string;
    readonly sha256: string;
    readonly bytes: number;
    readonly isKept: boolean;
  }[];
  /** Number of spurs of the last triage; null before one was run. */
  readonly spurs: number | null;
}

export interface CaptureAdded {
  readonly capture: CaptureSummary;
  /** True where the same bytes were already in the register: nothing was added. */
  readonly alreadyKnown: boolean;
}

/** A trace thinned to at most `columns` columns; every column keeps its smallest and largest level, so no line is lost. */
export interface TraceColumns {
  readonly captureId: number;
  readonly traceIndex: number;
  /** Frequency of each column's first point. When thinned is false: the points themselves. */
  readonly frequencyHz: Float64Array;
  /** Levels in decibels of the unit. Equal to each other where a column holds one point. NaN: blank. */
  readonly minimumDb: Float64Array;
  readonly maximumDb: Float64Array;
  /** Empty before a triage was run. */
  readonly floorDb: Float64Array;
  readonly thresholdDb: Float64Array;
  readonly thinned: boolean;
}

export interface TriageFloorSummary {
  readonly sigmaDb: number;
  readonly statistic: 'chi-square' | 'robust-spread';
  readonly averages: number | null;
  readonly pointSpreadDb: number;
  readonly windowPoints: number;
  readonly falseAlarmsExpected: number;
  readonly weakestDetectableOverFloorDb: number;
  readonly why: string;
}

export interface TriageView {
  readonly captureId: number;
  readonly traceIndex: number;
  readonly settings: TriageSettings;
  readonly floor: TriageFloorSummary;
  readonly spurs: readonly Spur[];
  readonly explanations: readonly LineExplanation[];
  readonly combs: readonly Comb[];
  readonly notSeen: readonly SourceNotSeen[];
  /** What the stack below the threshold says of each claimed comb and each other running source. */
  readonly below: readonly CombBelow[];
  /** Beats, sidebands and folded harmonics. */
  readonly families: readonly LineFamily[];
  readonly spreads: readonly SpreadEstimate[];
  /** What the capture's calibration chain adds to the doubt of each spur's level; left out: it has no chain. */
  readonly chain?: ChainDoubt;
  readonly warnings: readonly string[];
}

/** Of one calibration chain, parallel to the spurs: it moves all lines of a capture together, so it stands beside each one's own doubt. */
export interface ChainDoubt {
  /** One standard deviation of the stated uncertainties in quadrature. */
  readonly sigmaDb: readonly number[];
  /** Tables that state none, so that the figure is too small. */
  readonly unstated: readonly string[];
  /** At least one table states an uncertainty. */
  readonly isStated: boolean;
}

export interface CompareView {
  readonly beforeCaptureIds: readonly number[];
  readonly afterCaptureIds: readonly number[];
  readonly unit: string;
  readonly tracks: readonly Track[];
  /** The spur lists that the tracks' indices mean. */
  readonly beforeSpurs: readonly Spur[];
  readonly afterSpurs: readonly Spur[];
  readonly beforeExplanations: readonly LineExplanation[];
  readonly afterExplanations: readonly LineExplanation[];
  readonly sources: readonly SourceChange[];
  readonly warnings: readonly string[];
  /** What the step did, in one sentence with numbers. */
  readonly sentence: string;
}

export interface SourceEntry {
  readonly source: Source;
  /** Letter shown on the source's tile: A, B … given once, never reused. */
  readonly letter: string;
  /** Order of its tint, 0-based; also given once. */
  readonly order: number;
  readonly revision: number;
}

/** Answer to a validation while the user types: null or what is wrong. */
export interface FieldProblem {
  readonly field: string;
  readonly message: string;
}

type None = Record<string, never>;

export interface Api
  extends
    PhotoCalls,
    EvidenceCalls,
    PacketCalls,
    PlanCalls,
    ReadingCalls,
    RecordingCalls,
    ShellCalls,
    VerdictCalls,
    WaterfallCalls {
  about(argument: None): Promise<About>;

  registerInfo(argument: None): Promise<RegisterInfo>;
  // The next three move this window to another register; other windows stay where they are.
  registerNew(argument: { path: string; title: string }): Promise<RegisterInfo>;
  registerOpen(argument: { path: string }): Promise<RegisterInfo>;
  /** Makes a fresh copy of the invented demonstration register in the documents folder and opens it. */
  registerOpenDemo(argument: None): Promise<RegisterInfo>;
  registerRecent(argument: None): Promise<readonly RecentRegister[]>;
  folderList(argument: { path: string | null }): Promise<FolderListing>;
  undo(argument: None): Promise<RegisterInfo>;
  redo(argument: None): Promise<RegisterInfo>;
  history(argument: { limit: number; beforeId: number | null }): Promise<readonly HistoryEntry[]>;

  /**
   * @param argument.companions files beside it: an axis, a header, the other half of a recording
   * @param argument.hints how it is to be read; left out: as is remembered for its layout. With hints, bytes that the register has
   * already are read anew and take the place of the capture there.
   */
  captureAdd(argument: {
    file: string;
    bytes: Uint8Array;
    jobId: string;
    companions?: readonly FileBeside[];
    hints?: ReadingHints;
  }): Promise<CaptureAdded>;
  captureList(argument: None): Promise<readonly CaptureSummary[]>;
  captureRemove(argument: { captureIds: readonly number[] }): Promise<void>;
  /** A field left out stays as it is; null clears it. */
  captureAssign(argument: {
    captureIds: readonly number[];
    stateId?: number | null;
    pointId?: number | null;
    condition?: Partial<Condition>;
    role?: CaptureRole;
    traceIndex?: number;
  }): Promise<readonly CaptureSummary[]>;
  traceColumns(argument: {
    captureId: number;
    traceIndex: number;
    lowHz: number;
    highHz: number;
    columns: number;
    /** Columns of as many points each, or of the same ratio of frequencies each; linear unless said. */
    spacing?: 'linear' | 'logarithmic';
  }): Promise<TraceColumns>;
  /** The largest level, or the mean power, of several captures of one axis and unit at each point; without floor. */
  overlayColumns(argument: {
    captureIds: readonly number[];
    combine: 'largest' | 'mean';
    lowHz: number;
    highHz: number;
    columns: number;
    spacing?: 'linear' | 'logarithmic';
  }): Promise<TraceColumns>;

  triageRun(argument: { captureId: number; jobId: string }): Promise<TriageView>;
  /** The last triage kept for this capture with the sources as they are now, or null. */
  triageGet(argument: { captureId: number }): Promise<TriageView | null>;
  compareRun(argument: {
    beforeCaptureIds: readonly number[];
    afterCaptureIds: readonly number[];
    jobId: string;
    /** What several captures of a side are. Only re-rigged ones tell how well the set-up repeats; sweeps of one set-up unless said. */
    repeats?: 'sweep-to-sweep' | 're-rigged';
  }): Promise<CompareView>;
  cancel(argument: { jobId: string }): Promise<void>;

  sourceList(argument: None): Promise<readonly SourceEntry[]>;
  sourceCheck(argument: { source: Source; replaces: string | null }): Promise<readonly FieldProblem[]>;
  /**
   * @param argument.replaces the designator the entry had before, or null for a new one
   * @param argument.revision the revision the change started from: refused where another window was faster; left out: not asked
   */
  sourcePut(argument: { source: Source; replaces: string | null; revision?: number }): Promise<SourceEntry>;
  sourceRemove(argument: { designator: string }): Promise<void>;
  sourceImport(argument: { file: string; text: string; replaceAll: boolean }): Promise<readonly SourceEntry[]>;
  sourceExport(argument: None): Promise<{ file: string; text: string }>;

  bandList(argument: None): Promise<readonly Band[]>;
  bandImport(argument: { file: string; text: string }): Promise<readonly Band[]>;

  stateList(argument: None): Promise<readonly BuildState[]>;
  statePut(argument: {
    id: number | null;
    name: string;
    description: string;
    parentId: number | null;
    at: string;
    configuration: readonly ConfigurationItem[];
    /** The fix that made it out of its parent, entered in the same step; left out: none, or it is entered already. */
    fix?: Pick<Fix, 'change' | 'sources' | 'by' | 'at' | 'notes'>;
  }): Promise<BuildState>;
  stateRemove(argument: { id: number }): Promise<void>;
  fixList(argument: None): Promise<readonly Fix[]>;
  fixPut(argument: Omit<Fix, 'id'> & { id: number | null }): Promise<Fix>;
  fixRemove(argument: { id: number }): Promise<void>;
  pointList(argument: None): Promise<readonly MeasuringPoint[]>;
  pointPut(argument: Omit<MeasuringPoint, 'id'> & { id: number | null }): Promise<MeasuringPoint>;
  pointRemove(argument: { id: number }): Promise<void>;
  eventList(argument: None): Promise<readonly EnvironmentEvent[]>;
  eventPut(argument: Omit<EnvironmentEvent, 'id'> & { id: number | null }): Promise<EnvironmentEvent>;
  eventRemove(argument: { id: number }): Promise<void>;
  decisionList(argument: { captureId: number }): Promise<readonly Decision[]>;
  decisionPut(argument: Omit<Decision, 'id' | 'at'> & { id: number | null }): Promise<Decision>;
  /** Many decisions as one step of the history. */
  decisionPutMany(argument: {
    decisions: readonly (Omit<Decision, 'id' | 'at'> & { id: number | null })[];
  }): Promise<readonly Decision[]>;
}

/** What is pushed to the page without a question. */
export interface Events {
  progress: { readonly jobId: string; readonly fraction: number; readonly step: string };
  /** Something in the register changed, by this window or another; `subjects` as in HistoryEntry.subject. */
  registerChanged: { readonly subjects: readonly string[] };
  /** Something happened in a watched folder. */
  captureArrived: CaptureArrived;
}

export type CallName = keyof Api;
export type EventName = keyof Events;

/** What the page sees of a host: the calls, never rejecting, and the pushes. Subscribing returns the way to unsubscribe. */
export interface Client {
  call<K extends CallName>(name: K, argument: Parameters<Api[K]>[0]): Promise<Answer<Awaited<ReturnType<Api[K]>>>>;
  on<E extends EventName>(name: E, listener: (event: Events[E]) => void): () => void;
}
