import type { CaptureSummary, Client, CompareView } from '../../src-main/api/contract.ts';
import type { FitProblem } from '../../src-main/api/contract/recording-calls.ts';
import type { TrackStatus } from '../../src-main/model/track.ts';
import { ask } from './door.ts';
import { downloadText } from './download.ts';
import type { Jobs } from './jobs.svelte.ts';
import type { Notices } from './notices.svelte.ts';
import type { RegisterStore } from './register.svelte.ts';

/** Bad news first, then what the step did, then what cannot be judged, then what stayed. */
export const STATUS_ORDER: readonly TrackStatus[] = [
  'new',
  'back',
  'stronger',
  'cleared',
  'weaker',
  'hidden',
  'uncovered',
  'persists',
];

/** Which two states are held against each other, and what came out. */
export class Fixes {
  beforeStateId = $state<number | null>(null);
  afterStateId = $state<number | null>(null);
  /** Captures the user left out of a side. */
  leftOut = $state.raw<ReadonlySet<number>>(new Set());
  /** Repeats of a side were each set up anew, not swept again as they stood. */
  reRigged = $state(false);
  view = $state.raw<CompareView | null>(null);
  /** What speaks against comparing the two sides; null where nobody looked yet. */
  fit = $state.raw<readonly FitProblem[] | null>(null);
  trackIndex = $state<number | null>(null);
  statusFilter = $state<TrackStatus | null>(null);
  readonly #client: Client;
  readonly #register: RegisterStore;
  readonly #jobs: Jobs;
  readonly #notices: Notices;
  readonly before = $derived.by(() => this.#side(this.beforeStateId));
  readonly after = $derived.by(() => this.#side(this.afterStateId));
  readonly counts = $derived.by(() => countOf(this.view));

  constructor(client: Client, register: RegisterStore, jobs: Jobs, notices: Notices) {
    this.#client = client;
    this.#register = register;
    this.#jobs = jobs;
    this.#notices = notices;
  }

  clear(): void {
    Object.assign(this, { beforeStateId: null, afterStateId: null, leftOut: new Set(), trackIndex: null });
    Object.assign(this, { view: null, fit: null });
  }

  /** Chooses a step: the state and the one it came from. */
  chooseStep(afterStateId: number): void {
    const state = this.#register.state(afterStateId);
    this.afterStateId = afterStateId;
    if (state?.parentId != null) this.beforeStateId = state.parentId;
    this.#drop();
  }

  choose(side: 'before' | 'after', stateId: number | null): void {
    if (side === 'before') this.beforeStateId = stateId;
    else this.afterStateId = stateId;
    this.#drop();
  }

  toggle(captureId: number): void {
    const next = new Set(this.leftOut);
    if (!next.delete(captureId)) next.add(captureId);
    this.leftOut = next;
    this.#drop();
  }

  get canCompare(): boolean {
    return this.before.length > 0 && this.after.length > 0 && this.beforeStateId !== this.afterStateId;
  }

  /** Whether a side has several captures, so that it matters what they repeat. */
  get hasRepeats(): boolean {
    return this.before.length > 1 || this.after.length > 1;
  }

  setReRigged(is: boolean): void {
    this.reRigged = is;
    this.#drop();
  }

  /** Holds two states against each other and goes to the track at a frequency of the later one (or where it was expected). */
  async openAt(beforeStateId: number, afterStateId: number, frequencyHz: number): Promise<void> {
    if (this.view === null || this.beforeStateId !== beforeStateId || this.afterStateId !== afterStateId) {
      Object.assign(this, { beforeStateId, afterStateId });
      this.#drop();
      await this.compare();
    }
    const { view } = this;
    if (view === null) return;
    let nearest: { index: number; away: number } | null = null;
    view.tracks.forEach((track, index) => {
      const spur = view.afterSpurs[track.afterSpur ?? -1] ?? view.beforeSpurs[track.beforeSpur ?? -1];
      const away = spur === undefined ? Infinity : Math.abs(spur.frequencyHz - frequencyHz);
      if (nearest === null || away < nearest.away) nearest = { index, away };
    });
    this.trackIndex = (nearest as { index: number } | null)?.index ?? null;
  }

  async compare(): Promise<void> {
    if (!this.canCompare) return;
    const asked = this.#asked();
    const view = await this.#notices.attempt(() =>
      this.#jobs.run('Following every spur', (jobId) => ask(this.#client, 'compareRun', { ...asked, jobId })),
    );
    if (view === undefined) return;
    this.view = view;
    this.trackIndex = null;
    this.statusFilter = null;
  }

  /** Looks whether the two sides are fit to be compared, before anything is computed; it forbids nothing. */
  async lookAtFit(): Promise<void> {
    this.fit = null;
    if (!this.canCompare) return;
    const asked = this.#asked();
    const { beforeCaptureIds, afterCaptureIds } = asked;
    const found = await this.#notices.attempt(() =>
      ask(this.#client, 'fitToCompare', { beforeCaptureIds, afterCaptureIds }),
    );
    // an answer about sides that were changed meanwhile says nothing of these
    if (JSON.stringify(asked) === JSON.stringify(this.#asked())) this.fit = found ?? null;
  }

  /** Hands out the tracks of the comparison that is shown. */
  async takeOut(as: 'csv' | 'json'): Promise<void> {
    if (this.view === null) return;
    const asked = this.#asked();
    const done = await this.#notices.attempt(() =>
      this.#jobs.run('Taking it out', (jobId) =>
        ask(this.#client, 'exportRun', { what: { of: 'tracks', ...asked, as }, jobId }),
      ),
    );
    if (done !== undefined) downloadText(done.file, done.text, as === 'csv' ? 'text/csv' : 'application/json');
  }

  #asked() {
    const ids = (captures: readonly CaptureSummary[]) => captures.map(({ id }) => id);
    const repeats: 're-rigged' | 'sweep-to-sweep' = this.reRigged && this.hasRepeats ? 're-rigged' : 'sweep-to-sweep';
    return { beforeCaptureIds: ids(this.before), afterCaptureIds: ids(this.after), repeats };
  }

  #side(stateId: number | null): readonly CaptureSummary[] {
    if (stateId === null) return [];
    return this.#register.captures.filter(
      (capture) => capture.stateId === stateId && capture.condition.role === 'item' && !this.leftOut.has(capture.id),
    );
  }

  #drop(): void {
    this.view = null;
    this.trackIndex = null;
  }
}

export function countOf(view: CompareView | null): Readonly<Record<TrackStatus, number>> {
  const counts = { cleared: 0, weaker: 0, persists: 0, stronger: 0, new: 0, back: 0, hidden: 0, uncovered: 0 };
  for (const track of view?.tracks ?? []) counts[track.status]++;
  return counts;
}
