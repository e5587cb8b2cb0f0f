import { SvelteSet } from 'svelte/reactivity';

/** Several rows of the spur list chosen at once, by spur index; a run of rows is what the list shows between two of them. */
export class SpurPick {
  readonly #marked = new SvelteSet<number>();
  readonly #order: () => readonly number[];
  #anchor: number | null = null;

  /** @param order spur indices as the list shows them now */
  constructor(order: () => readonly number[]) {
    this.#order = order;
  }

  get size(): number {
    return this.#marked.size;
  }

  has(index: number): boolean {
    return this.#marked.has(index);
  }

  /** Those marked, in the order of the list; rows that its filter leaves out are not acted upon. */
  get shown(): readonly number[] {
    return this.#order().filter((index) => this.#marked.has(index));
  }

  /** Adds a row or takes it away. `chosen` is the single row chosen so far: it joins when the first is added. */
  toggle(index: number, chosen: number | null): void {
    if (this.#marked.size === 0 && chosen !== null && chosen !== index) this.#marked.add(chosen);
    if (!this.#marked.delete(index)) this.#marked.add(index);
    this.#anchor = index;
  }

  /** Marks every row from the one last touched (else the chosen one) to this one. */
  extendTo(index: number, chosen: number | null): void {
    const order = this.#order();
    const from = order.indexOf(this.#anchor ?? chosen ?? index);
    const to = order.indexOf(index);
    if (from < 0 || to < 0) return this.toggle(index, chosen);
    this.#anchor ??= order[from]!;
    this.#marked.clear();
    for (let i = Math.min(from, to); i <= Math.max(from, to); i++) this.#marked.add(order[i]!);
  }

  all(): void {
    for (const index of this.#order()) this.#marked.add(index);
  }

  clear(): void {
    this.#marked.clear();
    this.#anchor = null;
  }
}
