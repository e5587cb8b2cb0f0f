import type { Client } from '../../src-main/api/contract.ts';
import { indexNear } from './place-of-spur.ts';
import type { App } from './app.svelte.ts';
import { readPlace, type Place } from './place.ts';

const LATER_MS = 400;

/**
 * Keeps where the page is in its register, and goes back there: after a reload to where this very window was, after a restart to where a
 * window was last. The program keeps it, for a page on the loopback host has a new address and a fresh browser at every start.
 */
export class PlaceKeeper {
  readonly #client: Client;
  readonly #app: App;
  #written = '';
  #latest: { readonly key: string; readonly place: Place } | null = null;
  #timer: ReturnType<typeof setTimeout> | undefined;
  /** Nothing is kept before the page has gone where it was: a first picture is not a place. */
  #isThere = $state(false);

  constructor(client: Client, app: App) {
    this.#client = client;
    this.#app = app;
  }

  get now(): Place {
    const { bench, grid, screen } = this.#app;
    const { sieve, sortKey, descending } = bench.list;
    return {
      screen,
      captureId: bench.captureId,
      view: bench.captureId === null || bench.views.isWhole ? null : { ...bench.views.current },
      spurHz: bench.chosen?.spur.frequencyHz ?? null,
      isLog: bench.wantsLog,
      lower: bench.lower,
      sortKey,
      descending,
      ...sieve,
      grid: { isShown: grid.isShown, order: grid.order, source: grid.source, band: grid.band },
    };
  }

  /** Call inside an effect: what is kept follows what is shown, once that has come to rest for a moment. */
  follow(): void {
    const place = this.now;
    const key = this.#app.register.info?.key;
    if (!this.#isThere || key === undefined) return;
    this.#latest = { key, place };
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.flush(), LATER_MS);
  }

  /** Keeps the latest place now: the page is about to go. */
  flush(): void {
    if (this.#latest === null) return;
    const { key } = this.#latest;
    const place = JSON.stringify(this.#latest.place);
    this.#latest = null;
    if (place === this.#written) return;
    this.#written = place;
    sessionStorage.setItem(storedAs(key), place);
    void this.#client.call('pageKeep', { place });
  }

  /**
   * Where to go in this register; null at its first opening.
   *
   * @param kept what the program keeps of it; left out: the program is asked
   */
  async find(kept?: string | null): Promise<Place | null> {
    const own = readPlace(sessionStorage.getItem(storedAs(this.#app.register.info?.key ?? '')));
    if (own !== null) return own;
    if (kept !== undefined) return readPlace(kept);
    const answer = await this.#client.call('pageKept', {});
    return answer.ok ? readPlace(answer.value.place) : null;
  }

  /** Another register: nothing is kept until the page has gone to its place there. */
  leave(): void {
    this.#isThere = false;
    // what was the place a moment ago belongs to the register before, which this window no longer speaks to
    clearTimeout(this.#timer);
    this.#latest = null;
  }

  /**
   * Goes to the place, as far as it is still there, else to the capture given. Resolves when the capture is shown with its spurs.
   *
   * @param otherwise capture to show where the place has none any more
   */
  async goTo(place: Place | null, otherwise: number | null): Promise<void> {
    const captureId = this.#app.register.capture(place?.captureId ?? null)?.id ?? null;
    if (place !== null) this.#take(place);
    const shown = (captureId ?? otherwise) === null ? null : this.#app.bench.show((captureId ?? otherwise)!);
    if (captureId !== null && place?.view) this.#app.bench.views.show(place.view, false);
    this.#isThere = true;
    await shown;
    const { bench } = this.#app;
    if (captureId === null || bench.captureId !== captureId || place === null || place.spurHz === null) return;
    const index = indexNear(bench.rows, place.spurHz);
    if (index !== null && bench.spurIndex === null) bench.choose(index, false);
  }

  #take(place: Place): void {
    const { bench, grid } = this.#app;
    bench.wantsLog = place.isLog;
    bench.lower = place.lower;
    bench.list.sortKey = place.sortKey;
    bench.list.descending = place.descending;
    bench.list.sieve = { text: place.text, cause: place.cause, source: place.source };
    const { isShown, ...sieve } = place.grid;
    Object.assign(grid, sieve);
    if (isShown) void grid.show();
    this.#app.screen = place.screen;
  }
}

function storedAs(key: string): string {
  return `place ${key}`;
}
