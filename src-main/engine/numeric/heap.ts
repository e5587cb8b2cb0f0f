/** A queue that gives the item with the lowest key first; of equal keys the one added first. */
export class LowestFirst<T> {
  private readonly keys: number[] = [];
  private readonly orders: number[] = [];
  private readonly items: T[] = [];
  private added = 0;

  get size(): number {
    return this.items.length;
  }

  /** Lowest key waiting; Infinity where none is. */
  get lowestKey(): number {
    return this.keys[0] ?? Infinity;
  }

  push(key: number, item: T): void {
    let at = this.items.length;
    const order = this.added++;
    this.keys.push(key);
    this.orders.push(order);
    this.items.push(item);
    while (at > 0) {
      const parent = (at - 1) >> 1;
      if (!this.isBefore(at, parent)) break;
      this.exchange(at, parent);
      at = parent;
    }
  }

  pop(): T | undefined {
    const top = this.items[0];
    const last = this.items.length - 1;
    if (last < 0) return undefined;
    this.exchange(0, last);
    this.keys.pop();
    this.orders.pop();
    this.items.pop();
    for (let at = 0; ;) {
      const left = 2 * at + 1;
      if (left >= last) break;
      const child = left + 1 < last && this.isBefore(left + 1, left) ? left + 1 : left;
      if (!this.isBefore(child, at)) break;
      this.exchange(at, child);
      at = child;
    }
    return top;
  }

  private isBefore(a: number, b: number): boolean {
    return this.keys[a]! < this.keys[b]! || (this.keys[a] === this.keys[b] && this.orders[a]! < this.orders[b]!);
  }

  private exchange(a: number, b: number): void {
    for (const column of [this.keys, this.orders, this.items] as unknown[][])
      [column[a], column[b]] = [column[b], column[a]];
  }
}
