import { OPEN_SIEVE, sift, sorted } from './spur-rows.ts';
import type { Sieve, SortKey, SpurRow } from './spur-rows.ts';

/** Order and sieve of the spur list. */
export class SpurList {
  sieve = $state.raw<Sieve>(OPEN_SIEVE);
  sortKey = $state<SortKey>('frequency');
  descending = $state(false);
  readonly #rows: () => readonly SpurRow[];
  /** Those that pass the sieve, ascending in frequency as the rows are: what the plot shows. */
  readonly along = $derived.by(() => sift(this.#rows(), this.sieve));
  readonly shown = $derived.by(() => sorted(this.along, this.sortKey, this.descending));

  constructor(rows: () => readonly SpurRow[]) {
    this.#rows = rows;
  }

  get isSifted(): boolean {
    return this.sieve.text !== '' || this.sieve.cause !== null || this.sieve.source !== null;
  }

  sortBy(key: SortKey): void {
    if (this.sortKey === key) this.descending = !this.descending;
    else [this.sortKey, this.descending] = [key, key === 'level' || key === 'over'];
  }

  sift(change: Partial<Sieve>): void {
    this.sieve = { ...this.sieve, ...change };
  }

  clear(): void {
    this.sieve = OPEN_SIEVE;
  }

  /** The row `step` places from the one with this spur index; the first where none is chosen. */
  beside(index: number | null, step: number): SpurRow | null {
    const at = this.shown.findIndex((row) => row.index === index);
    if (at < 0) return this.shown[0] ?? null;
    return this.shown[Math.min(this.shown.length - 1, Math.max(0, at + step))] ?? null;
  }
}
