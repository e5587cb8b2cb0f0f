import type { CaptureSummary, Client, TraceColumns } from '../../src-main/api/contract.ts';
import type { Notices } from './notices.svelte.ts';
import type { RegisterStore } from './register.svelte.ts';

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
