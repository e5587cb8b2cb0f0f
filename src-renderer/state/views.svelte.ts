/** A window on the spectrum. Levels null: the range is chosen from the whole capture. */
export interface View {
  readonly lowHz: number;
  readonly highHz: number;
  readonly lowDb: number | null;
  readonly highDb: number | null;
}

/** Narrowest span a view may have, as a share of the whole. */
const NARROWEST = 1e-6;

/** The views of one capture, with the way back and forward. Every step the user makes is one entry. */
export class Views {
  #whole = $state.raw<View>({ lowHz: 0, highHz: 1, lowDb: null, highDb: null });
  #past = $state.raw<readonly View[]>([]);
  #future = $state.raw<readonly View[]>([]);
  /** True while a wheel turns or a hand drags: the view shown last is on its way, not a step of its own. */
  isOnItsWay = false;
  current = $state.raw<View>({ lowHz: 0, highHz: 1, lowDb: null, highDb: null });

  get whole(): View {
    return this.#whole;
  }
  get canGoBack(): boolean {
    return this.#past.length > 0;
  }
  get canGoForward(): boolean {
    return this.#future.length > 0;
  }
  get isWhole(): boolean {
    const { lowHz, highHz, lowDb } = this.current;
    return lowHz === this.#whole.lowHz && highHz === this.#whole.highHz && lowDb === null;
  }

  /** Starts anew. With `keep` a view that lies inside the new span stays, so that captures can be flicked through. */
  reset(lowHz: number, highHz: number, keep = false): void {
    const { current, isWhole } = this;
    const isInside = keep && !isWhole && current.lowHz >= lowHz && current.highHz <= highHz;
    this.#whole = { lowHz, highHz, lowDb: null, highDb: null };
    this.#past = [];
    this.#future = [];
    this.current = isInside ? { ...current, lowDb: null, highDb: null } : this.#whole;
  }

  /** Shows a view, cut to the whole span. `step` false replaces the current entry (a continuous wheel or drag). */
  show(view: Partial<View>, step = true): void {
    const next = this.#clamp({ ...this.current, ...view });
    const { current } = this;
    if (
      next.lowHz === current.lowHz &&
      next.highHz === current.highHz &&
      next.lowDb === current.lowDb &&
      next.highDb === current.highDb
    )
      return;
    this.isOnItsWay = !step;
    if (step) this.#past = [...this.#past.slice(-99), current];
    this.#future = [];
    this.current = next;
  }

  /** Factor below 1 goes nearer. `aboutHz` stays where it is on the screen, also on a logarithmic axis. */
  zoom(factor: number, aboutHz: number, step = true, isLog = false): void {
    const { lowHz, highHz } = this.current;
    if (isLog) {
      const low = this.#logLow(lowHz, highHz);
      const whole = this.#whole;
      const lower = aboutHz * (low / aboutHz) ** factor;
      const upper = Math.min(aboutHz * (highHz / aboutHz) ** factor, whole.highHz);
      this.show({ lowHz: lower <= this.#logLow(whole.lowHz, whole.highHz) ? whole.lowHz : lower, highHz: upper }, step);
      return;
    }
    this.show({ lowHz: aboutHz - (aboutHz - lowHz) * factor, highHz: aboutHz + (highHz - aboutHz) * factor }, step);
  }

  /** Moves by a share of the view's width. */
  pan(share: number, step = true, isLog = false): void {
    const { lowHz, highHz } = this.current;
    if (isLog) {
      const low = this.#logLow(lowHz, highHz);
      const least = this.#logLow(this.#whole.lowHz, this.#whole.highHz);
      const ratio = highHz / low;
      const moved = Math.min(Math.max(low * ratio ** share, least), this.#whole.highHz / ratio);
      this.show({ lowHz: moved, highHz: moved * ratio }, step);
      return;
    }
    const width = highHz - lowHz;
    const low = Math.min(Math.max(lowHz + share * width, this.#whole.lowHz), this.#whole.highHz - width);
    this.show({ lowHz: low, highHz: low + width }, step);
  }

  /** Takes the plot to a frequency, nearer if the view was wider than `widthHz`. Does nothing where it is well in sight. */
  goTo(frequencyHz: number, widthHz: number | null = null): void {
    const { lowHz, highHz } = this.current;
    const width = widthHz === null ? highHz - lowHz : Math.min(widthHz, highHz - lowHz);
    const margin = width * 0.08;
    if (widthHz === null && frequencyHz > lowHz + margin && frequencyHz < highHz - margin) return;
    this.show({ lowHz: frequencyHz - width / 2, highHz: frequencyHz + width / 2 });
  }

  showWhole(): void {
    this.show(this.#whole);
  }

  back(): void {
    const previous = this.#past.at(-1);
    if (previous === undefined) return;
    this.isOnItsWay = false;
    this.#past = this.#past.slice(0, -1);
    this.#future = [this.current, ...this.#future];
    this.current = previous;
  }

  forward(): void {
    const [next, ...rest] = this.#future;
    if (next === undefined) return;
    this.isOnItsWay = false;
    this.#future = rest;
    this.#past = [...this.#past, this.current];
    this.current = next;
  }

  /** Where a logarithmic axis begins: zero has no logarithm. */
  #logLow(lowHz: number, highHz: number): number {
    return Math.max(lowHz, highHz * 1e-5);
  }

  #clamp(view: View): View {
    const whole = this.#whole.highHz - this.#whole.lowHz;
    const width = Math.min(Math.max(view.highHz - view.lowHz, whole * NARROWEST), whole);
    const middle = (view.lowHz + view.highHz) / 2;
    const lowHz = Math.min(Math.max(middle - width / 2, this.#whole.lowHz), this.#whole.highHz - width);
    return { ...view, lowHz, highHz: width === whole ? this.#whole.highHz : lowHz + width };
  }
}
