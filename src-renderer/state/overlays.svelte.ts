import type { CaptureSummary, Client, TraceColumns } from '../../src-main/api/contract.ts';
import { levelRange } from './level-range.ts';
import type { Notices } from './notices.svelte.ts';
import type { RegisterStore } from './register.svelte.ts';
import { placeTraces } from './trace-units.ts';
import type { Placed, PlacedTraces } from './trace-units.ts';

export interface View {
  readonly lowHz: number;
  readonly highHz: number;
  readonly columns: number;
}

/** What is drawn of all traces together. */
export type Together = 'largest' | 'mean' | null;

/** Captures laid over the one on the bench, and what they give together. */
export class Overlays {
  ids = $state.raw<readonly number[]>([]);
  together = $state<Together>(null);
  columns = $state.raw<ReadonlyMap<number, TraceColumns>>(new Map());
  combined = $state.raw<TraceColumns | null>(null);
  /** Units asked for, by capture, also for the one on the bench. */
  units = $state.raw<ReadonlyMap<number, string>>(new Map());
  /** What voltage and power meet in, as a hand stated it; null: nobody did, and neither goes into the other. */
  impedanceOhm = $state<number | null>(null);
  /** Lowest level of the axis on the right while the one on the left shows all its range. */
  rightLowDb = $state<number | null>(null);
  #rightKey = '';
  readonly #client: Client;
  readonly #register: RegisterStore;
  readonly #notices: Notices;
  readonly #onBench: () => number | null;
  #wanted: View | null = null;
  #running = false;

  constructor(client: Client, register: RegisterStore, notices: Notices, onBench: () => number | null) {
    this.#client = client;
    this.#register = register;
    this.#notices = notices;
    this.#onBench = onBench;
  }

  /** Those laid over, without the one on the bench and without what was removed from the register. */
  readonly captures = $derived.by((): readonly CaptureSummary[] =>
    this.ids.flatMap((id) => {
      const capture = id === this.#onBench() ? null : this.#register.capture(id);
      return capture === null ? [] : [capture];
    }),
  );

  /** Which axis each is drawn on, and in what unit it is read. */
  readonly placed = $derived.by((): PlacedTraces => {
    const bench = this.#register.capture(this.#onBench());
    return placeTraces(
      {
        trace: bench?.traces[bench.traceIndex] ?? null,
        unit: bench === null ? null : (this.units.get(bench.id) ?? null),
      },
      this.captures.map(({ id, traces, traceIndex }) => ({
        id,
        trace: traces[traceIndex]!,
        unit: this.units.get(id) ?? null,
      })),
      this.impedanceOhm,
    );
  });

  placeOf(id: number): Placed {
    return this.placed.laid.get(id) ?? { axis: 'none', brief: 'it is not laid over', why: 'it is not laid over' };
  }

  /** Reads a trace in a unit; null: in its own, or in that of the axis where it goes into it. */
  readIn(id: number, unit: string | null): void {
    const units = new Map(this.units);
    if (unit === null) units.delete(id);
    else units.set(id, unit);
    this.units = units;
    this.#findRight();
  }

  toggle(id: number): void {
    this.ids = this.ids.includes(id) ? this.ids.filter((other) => other !== id) : [...this.ids, id];
    this.#again();
  }

  clear(): void {
    this.ids = [];
    this.together = null;
    this.combined = null;
    this.columns = new Map();
  }

  draw(together: Together): void {
    this.together = together;
    this.combined = null;
    this.#again();
  }

  /** The latest capture of the same measuring point and role in the nearest state this one's came from; null where there is none. */
  earlier(): CaptureSummary | null {
    const capture = this.#register.capture(this.#onBench());
    if (capture === null) return null;
    let state = this.#register.state(capture.stateId);
    const past = new Set<number>();
    while (state !== null && !past.has(state.id)) {
      past.add(state.id);
      const parentId: number | null = state.parentId;
      const found = this.#register.captures.findLast(
        (other) =>
          other.id !== capture.id &&
          other.stateId === parentId &&
          other.pointId === capture.pointId &&
          other.condition.role === capture.condition.role,
      );
      if (parentId !== null && found !== undefined) return found;
      state = this.#register.state(parentId);
    }
    return null;
  }

  /** Asks for the columns of a view. While requests are out only the latest wish is kept. */
  want(view: View): void {
    this.#wanted = view;
    if (!this.#running && this.captures.length > 0) void this.#fetch();
  }

  #again(): void {
    if (this.#wanted !== null) this.want(this.#wanted);
  }

  /** The axis on the right begins under the noise of its traces; it stays there until other traces stand on it. */
  #findRight(): void {
    const { right, laid } = this.placed;
    const own = [...laid].filter(([id, { axis }]) => axis === 'right' && this.columns.has(id)).map(([id]) => id);
    const key = right === null || own.length === 0 ? '' : `${right} ${own.join()}`;
    if (key === this.#rightKey) return;
    this.#rightKey = key;
    const lows = own.map((id) => levelRange(this.columns.get(id)!).lowDb + dbOf(this.placeOf(id)));
    this.rightLowDb = key === '' ? null : Math.floor(Math.min(...lows) / 5) * 5;
  }

  async #fetch(): Promise<void> {
    this.#running = true;
    let done = '';
    for (;;) {
      const view = this.#wanted;
      const { captures, together } = this;
      const wish = JSON.stringify([view, captures.map(({ id, traceIndex }) => [id, traceIndex]), together]);
      if (view === null || captures.length === 0 || wish === done) break;
      done = wish;
      const next = new Map<number, TraceColumns>();
      for (const { id, traceIndex } of captures) {
        const answer = await this.#client.call('traceColumns', { captureId: id, traceIndex, ...view });
        if (answer.ok) next.set(id, answer.value);
        else this.#notices.post(answer.problem);
      }
      this.columns = next;
      this.#findRight();
      const onBench = this.#onBench();
      if (together === null || onBench === null) continue;
      const captureIds = [onBench, ...captures.map(({ id }) => id)];
      const answer = await this.#client.call('overlayColumns', { captureIds, combine: together, ...view });
      if (answer.ok) this.combined = answer.value;
      else {
        this.together = null;
        this.#notices.post(answer.problem);
      }
    }
    this.#running = false;
  }
}

/** From a trace's own decibels to those it is read in. */
export function dbOf(placed: Placed): number {
  return placed.axis === 'none' ? 0 : placed.db;
}
