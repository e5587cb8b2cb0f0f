import type { CaptureSummary, Client } from '../../src-main/api/contract.ts';
import type { WaterfallView } from '../../src-main/api/contract/waterfall-calls.ts';
import type { Notices } from './notices.svelte.ts';
import type { RegisterStore } from './register.svelte.ts';
import type { View } from './overlays.svelte.ts';

export type RowOrder = 'taken in' | 'build state' | 'temperature';
export const ROW_ORDERS: readonly RowOrder[] = ['build state', 'taken in', 'temperature'];

/** Captures like the one on the bench, one under the other over its frequency axis. */
export class WaterfallStore {
  order = $state<RowOrder>('build state');
  view = $state.raw<WaterfallView | null>(null);
  /** Frequencies that `view` spans. */
  spanHz = $state.raw<{ lowHz: number; highHz: number } | null>(null);
  readonly #client: Client;
  readonly #register: RegisterStore;
  readonly #notices: Notices;
  readonly #onBench: () => CaptureSummary | null;
  #wanted: View | null = null;
  #running = false;

  constructor(client: Client, register: RegisterStore, notices: Notices, onBench: () => CaptureSummary | null) {
    this.#client = client;
    this.#register = register;
    this.#notices = notices;
    this.#onBench = onBench;
  }

  /** Those of the bench capture's measuring point, role and unit: others would compare what cannot be compared. */
  readonly captures = $derived.by((): readonly CaptureSummary[] => {
    const bench = this.#onBench();
    if (bench === null) return [];
    const unit = unitOf(bench);
    const like = this.#register.captures.filter(
      (capture) =>
        capture.pointId === bench.pointId &&
        capture.condition.role === bench.condition.role &&
        unitOf(capture) === unit,
    );
    return ordered(like, this.order, (capture) => this.#register.states.findIndex(({ id }) => id === capture.stateId));
  });

  want(view: View): void {
    this.#wanted = view;
    if (!this.#running && this.captures.length > 0) void this.#fetch();
  }

  async #fetch(): Promise<void> {
    this.#running = true;
    let done = '';
    for (;;) {
      const view = this.#wanted;
      const captureIds = this.captures.map(({ id }) => id);
      const wish = JSON.stringify([
        view,
        captureIds,
        this.captures.map(({ traceIndex, spurs }) => [traceIndex, spurs]),
      ]);
      if (view === null || captureIds.length === 0 || wish === done) break;
      done = wish;
      const answer = await this.#client.call('waterfall', { captureIds, ...view });
      if (answer.ok) {
        this.view = answer.value;
        this.spanHz = view;
      } else {
        this.#notices.post(answer.problem);
        break;
      }
    }
    this.#running = false;
  }
}

/** A sorted copy; what has no state or no temperature comes last, equals keep the order they were taken in. */
export function ordered(
  captures: readonly CaptureSummary[],
  order: RowOrder,
  stateRank: (capture: CaptureSummary) => number,
): readonly CaptureSummary[] {
  if (order === 'taken in') return captures.toSorted((a, b) => a.id - b.id);
  const value = (capture: CaptureSummary): number => {
    if (order === 'temperature') return capture.condition.temperatureC ?? Infinity;
    const rank = stateRank(capture);
    return rank < 0 ? Infinity : rank;
  };
  return captures.toSorted((a, b) => {
    const [x, y] = [value(a), value(b)];
    return x === y ? a.id - b.id : x - y;
  });
}

function unitOf(capture: CaptureSummary): string {
  return capture.traces[capture.traceIndex]?.unit.name ?? '';
}
