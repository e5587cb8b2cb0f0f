/** Keeps what was used last, up to a total size; the newest entry is kept even where it alone is larger. */
export class SizedCache<K, V> {
  readonly #most: number;
  readonly #entries = new Map<K, { readonly value: V; readonly size: number }>();
  #total = 0;

  constructor(most: number) {
    this.#most = most;
  }

  get(key: K): V | undefined {
    const entry = this.#entries.get(key);
    if (entry === undefined) return undefined;
    // A Map keeps the order of insertion: put in again it is the newest.
    this.#entries.delete(key);
    this.#entries.set(key, entry);
    return entry.value;
  }

  set(key: K, value: V, size: number): void {
    this.delete(key);
    this.#entries.set(key, { value, size });
    this.#total += size;
    for (const [oldest] of this.#entries) {
      if (this.#total <= this.#most || this.#entries.size === 1) break;
      this.delete(oldest);
    }
  }

  delete(key: K): void {
    this.#total -= this.#entries.get(key)?.size ?? 0;
    this.#entries.delete(key);
  }

  clear(): void {
    this.#entries.clear();
    this.#total = 0;
  }
}
