import type { CaptureSummary, Client, TraceColumns, TraceSummary, TriageView } from '../../src-main/api/contract.ts';
import type { EvidenceView } from '../../src-main/api/contract/evidence-calls.ts';
import type { Decision } from '../../src-main/model/decision.ts';
import type { DriftEstimate } from '../../src-main/model/evidence.ts';
import { ask } from './door.ts';
import { inNextFrame } from './frame.ts';
import { levelRange } from './level-range.ts';
import type { Jobs } from './jobs.svelte.ts';
import type { Notices } from './notices.svelte.ts';
import { Overlays } from './overlays.svelte.ts';
import type { RegisterStore } from './register.svelte.ts';
import { SourceNames } from './source-names.ts';
import { SpurList } from './spur-list.svelte.ts';
import { SpurPick } from './spur-pick.svelte.ts';
import { spurRows } from './spur-rows.ts';
import type { SpurRow } from './spur-rows.ts';
import { decibelUnit } from './trace-units.ts';
import { Views } from './views.svelte.ts';
import { WaterfallStore } from './waterfall.svelte.ts';

const OVERVIEW_COLUMNS = 1200;

/** A place on the plot that others are measured from. Its doubt is null where a hand put it there. */
export interface Mark {
  readonly frequencyHz: number;
  readonly frequencySigmaHz: number | null;
  readonly levelDb: number | null;
  readonly levelSigmaDb: number | null;
  /** What stands there: `spur 12`, or `the pointer`. */
  readonly what: string;
}

interface WantedColumns {
  readonly lowHz: number;
  readonly highHz: number;
  readonly columns: number;
  readonly spacing: 'linear' | 'logarithmic';
}

/** The capture on the bench: its trace, its triage, the chosen spur and the view on it. */
export class Bench {
  captureId = $state<number | null>(null);
  triage = $state.raw<TriageView | null>(null);
  whole = $state.raw<TraceColumns | null>(null);
  columns = $state.raw<TraceColumns | null>(null);
  decisions = $state.raw<readonly Decision[]>([]);
  /** What other captures say; null until it is known. Its explanations and combs are then those of `triage`. */
  evidence = $state.raw<EvidenceView | null>(null);
  drifts = $state.raw<readonly DriftEstimate[]>([]);
  spurIndex = $state<number | null>(null);
  /** What the pointer is over: a frequency on the axis, or null. */
  pointerHz = $state<number | null>(null);
  /** The level the pointer stands at, or null. */
  pointerDb = $state<number | null>(null);
  /** What the read-out measures from. */
  mark = $state.raw<Mark | null>(null);
  /** Spurs that light up everywhere while their comb is pointed at. */
  lit = $state.raw<ReadonlySet<number>>(new Set());
  /** State that captures opened next belong to, while no capture is on the bench. */
  nextStateId = $state<number | null>(null);
  readonly views = new Views();
  readonly #client: Client;
  readonly #register: RegisterStore;
  readonly #jobs: Jobs;
  readonly #notices: Notices;
  #wanted: WantedColumns | null = null;
  #fetching = false;

  readonly capture = $derived.by((): CaptureSummary | null => this.#register.capture(this.captureId));
  readonly trace = $derived.by((): TraceSummary | null => this.capture?.traces[this.capture.traceIndex] ?? null);
  readonly unit = $derived.by((): string => decibelUnit(this.trace));
  readonly names = $derived.by(() => new SourceNames(this.#register.sources, this.triage?.combs ?? []));
  readonly rows = $derived.by((): readonly SpurRow[] =>
    this.triage === null
      ? []
      : spurRows(this.triage, this.names, this.#register.bands, this.decisions, this.unit, this.evidence),
  );
  readonly list = new SpurList(() => this.rows);
  readonly pick = new SpurPick(() => this.list.shown.map((row) => row.index));
  /** The rows that acts mean: those picked where there are several, else the chosen one. */
  readonly picked = $derived.by((): readonly SpurRow[] =>
    this.pick.shown.map((index) => this.rows[index]!).filter((row) => row !== undefined),
  );
  readonly overlays: Overlays;
  readonly waterfall: WaterfallStore;
  /** What lies under the plot. */
  lower = $state<'spurs' | 'waterfall'>('spurs');
  /** Frequency by its logarithm was asked for. */
  wantsLog = $state(false);
  readonly chosen = $derived.by((): SpurRow | null =>
    this.spurIndex === null ? null : (this.rows[this.spurIndex] ?? null),
  );
  readonly nearest = $derived.by(() => (this.pointerHz === null ? null : nearestRow(this.rows, this.pointerHz)));
  readonly levelRange = $derived.by(() => levelRange(this.whole));

  constructor(client: Client, register: RegisterStore, jobs: Jobs, notices: Notices) {
    this.#client = client;
    this.#register = register;
    this.#jobs = jobs;
    this.#notices = notices;
    this.overlays = new Overlays(client, register, notices, () => this.captureId);
    this.waterfall = new WaterfallStore(client, register, notices, () => this.capture);
  }

  clear(): void {
    this.pick.clear();
    this.mark = null;
    this.lit = new Set();
    Object.assign(this, { captureId: null, triage: null, whole: null, columns: null, decisions: [], spurIndex: null });
    Object.assign(this, { evidence: null, drifts: [] });
  }

  /** Puts a capture on the bench and triages it where that was not done before. */
  async show(captureId: number): Promise<void> {
    const isNext = this.captureId !== null;
    if (this.captureId !== captureId) this.clear();
    this.captureId = captureId;
    const { trace } = this;
    if (trace === null) return;
    this.views.reset(trace.startHz, trace.stopHz, isNext);
    await this.#notices.attempt(async () => {
      await this.#loadWhole();
      await this.refreshTriage();
    });
  }

  /** The triage as kept, or a fresh run; call also after sources, conditions or the trace changed. */
  async refreshTriage(rerun = false): Promise<void> {
    const captureId = this.captureId;
    if (captureId === null) return;
    await this.#notices.attempt(async () => {
      const kept = rerun ? null : await ask(this.#client, 'triageGet', { captureId });
      const triage =
        kept ??
        (await this.#jobs.run('Finding floor, spurs and sources', (jobId) =>
          ask(this.#client, 'triageRun', { captureId, jobId }),
        ));
      const decisions = await ask(this.#client, 'decisionList', { captureId });
      if (this.captureId !== captureId) return;
      const before = this.chosen?.spur.frequencyHz ?? null;
      this.pick.clear();
      this.triage = triage;
      this.evidence = null;
      this.decisions = decisions;
      this.spurIndex = before === null ? null : indexAt(triage, before);
      // Floor and threshold are known only now: the columns are asked for again.
      await this.#loadWhole();
      const wanted = this.#wanted;
      if (wanted !== null) this.want(wanted.lowHz, wanted.highHz, wanted.columns, true);
    });
    await this.#weigh(captureId);
  }

  /** What other captures say of this one's lines; its own triage stands meanwhile. */
  async #weigh(captureId: number): Promise<void> {
    await this.#notices.attempt(async () => {
      const kept = await ask(this.#client, 'evidenceGet', { captureId });
      const evidence =
        kept ??
        (await this.#jobs.run('Weighing against the other captures', (jobId) =>
          ask(this.#client, 'evidenceRun', { captureId, jobId }),
        ));
      // captures that were triaged for it have their number of spurs now
      if (kept === null) await this.#register.refresh(['capture']);
      const drifts = await ask(this.#client, 'driftOffers', {});
      const { triage } = this;
      if (this.captureId !== captureId || triage === null) return;
      // a triage that was run again meanwhile has other spurs: its own weighing follows
      if (evidence.explanations.length !== triage.spurs.length) return;
      const { explanations, combs, notSeen } = evidence;
      this.evidence = evidence;
      this.drifts = drifts;
      this.triage = { ...triage, explanations, combs, notSeen };
    });
  }

  async reloadDecisions(): Promise<void> {
    const captureId = this.captureId;
    if (captureId === null) return;
    const decisions = await this.#notices.attempt(() => ask(this.#client, 'decisionList', { captureId }));
    if (decisions === undefined || this.captureId !== captureId) return;
    this.decisions = decisions;
    await this.#weigh(captureId);
  }

  async #loadWhole(): Promise<void> {
    const { capture, trace } = this;
    if (capture === null || trace === null) return;
    const whole = await ask(this.#client, 'traceColumns', {
      captureId: capture.id,
      traceIndex: capture.traceIndex,
      lowHz: trace.startHz,
      highHz: trace.stopHz,
      columns: OVERVIEW_COLUMNS,
    });
    if (this.captureId !== capture.id) return;
    this.whole = whole;
    this.columns ??= whole;
  }

  /** Asks for the columns of a view. While one request is out only the latest wish is kept: panning never queues up. */
  want(lowHz: number, highHz: number, columns: number, again = false): void {
    const spacing = this.isLog ? 'logarithmic' : 'linear';
    const last = this.#wanted;
    const same =
      last?.lowHz === lowHz && last.highHz === highHz && last.columns === columns && last.spacing === spacing;
    if (same && !again) return;
    this.#wanted = { lowHz, highHz, columns, spacing };
    this.overlays.want(this.#wanted);
    if (!this.#fetching) void this.#fetch();
  }

  async #fetch(): Promise<void> {
    this.#fetching = true;
    let done: unknown = null;
    while (this.#wanted !== done && this.capture !== null) {
      const wanted = (done = this.#wanted)!;
      const { id, traceIndex } = this.capture;
      const answer = await this.#client.call('traceColumns', { captureId: id, traceIndex, ...wanted });
      if (answer.ok) inNextFrame(() => this.captureId === id && (this.columns = answer.value));
      else this.#notices.post(answer.problem);
    }
    this.#fetching = false;
  }

  /** Whether the axis is logarithmic now: rows over frequency have a linear axis of their own, and the spectrum over them too. */
  get isLog(): boolean {
    return this.wantsLog && this.lower === 'spurs';
  }

  /** Chooses a spur and takes the plot there. */
  choose(index: number | null, travel = true): void {
    this.spurIndex = index;
    const row = this.chosen;
    if (row === null || !travel) return;
    const { whole, isWhole } = this.views;
    this.views.goTo(row.spur.frequencyHz, isWhole ? (whole.highHz - whole.lowHz) / 8 : null);
  }

  /** Puts the mark on the chosen spur, or where the pointer is; on the same place again, takes it away. */
  toggleMark(): void {
    const { chosen: spur, pointerHz, pointerDb } = this;
    const next: Mark | null =
      pointerHz !== null
        ? {
            frequencyHz: pointerHz,
            levelDb: pointerDb,
            frequencySigmaHz: null,
            levelSigmaDb: null,
            what: 'the pointer',
          }
        : spur === null
          ? null
          : {
              frequencyHz: spur.spur.frequencyHz,
              frequencySigmaHz: spur.spur.frequencySigmaHz,
              levelDb: spur.spur.levelDb,
              levelSigmaDb: spur.spur.levelSigmaDb,
              what: `spur ${spur.number}`,
            };
    this.mark = next?.frequencyHz === this.mark?.frequencyHz ? null : next;
  }

  /** Chooses the next row of the list and marks all from where the run began. */
  extend(by: number): void {
    const row = this.list.beside(this.spurIndex, by);
    if (row === null) return;
    this.pick.extendTo(row.index, this.spurIndex);
    this.choose(row.index);
  }

  step(by: number): void {
    const row = this.list.beside(this.spurIndex, by);
    if (row !== null) this.choose(row.index);
  }

  /** The spur next to the chosen one along the axis, whatever the order of the list. */
  stepAlong(by: number): void {
    const shown = new Set(this.list.shown.map((row) => row.index));
    const start = this.spurIndex ?? (by > 0 ? -1 : this.rows.length);
    for (let i = start + by; i >= 0 && i < this.rows.length; i += by) if (shown.has(i)) return this.choose(i);
  }
}

export function nearestRow(rows: readonly SpurRow[], frequencyHz: number): SpurRow | null {
  let low = 0;
  let high = rows.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rows[middle]!.spur.frequencyHz < frequencyHz) low = middle + 1;
    else high = middle;
  }
  const [left, right] = [rows[low - 1], rows[low]];
  if (left === undefined || right === undefined) return left ?? right ?? null;
  return frequencyHz - left.spur.frequencyHz < right.spur.frequencyHz - frequencyHz ? left : right;
}

function indexAt(triage: TriageView, frequencyHz: number): number | null {
  let best: number | null = null;
  let bestMiss = Infinity;
  triage.spurs.forEach((spur, index) => {
    const miss = Math.abs(spur.frequencyHz - frequencyHz);
    if (miss < bestMiss && miss <= Math.max(spur.widthHz, 5 * spur.frequencySigmaHz)) [best, bestMiss] = [index, miss];
  });
  return best;
}
