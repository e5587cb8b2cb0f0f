/**
 * What stands beyond the ends of the data. `nearest` repeats the end value, `reflect` mirrors with the end value doubled
 * (d c b a | a b c d), `shrink` lets a window at the end contain only what exists, kept symmetric about its centre.
 */
export type EdgePolicy = 'nearest' | 'reflect' | 'shrink';

/**
 * Exact running median: the middle of the `width` values around each point.
 *
 * @param values finite or ±Infinity; NaN is refused (leave blank points out first)
 * @param width odd; an even window has no middle value and is refused
 * @param edge defaults to `nearest`, which does not bend a sloping floor at its ends as `reflect` does
 * @returns a new array of the same length
 * @throws RangeError for an even or non-positive width, or a NaN
 *
 * Strategy: work in chunks whose values stay in cache. 1. Rank the chunk's values with the window's overlap on either side
 * (radix sort of the order-preserving integer image of the float32 value, then repair of near-ties on the real doubles).
 * 2. Keep the members of the window as one bit per rank. 3. Each step sets one bit and clears one, and the median moves
 * to a neighbouring set bit. Cost per point does not grow with the window. The result is exact: rounding to float32 is
 * monotone, so only values equal in float32 can be out of order after the radix sort, and these are put right.
 */
export function runningMedian(values: Float64Array, width: number, edge: EdgePolicy = 'nearest'): Float64Array {
  if (!Number.isInteger(width) || width < 1 || width % 2 === 0)
    throw new RangeError(`window width ${width}; expected an odd whole number of points`);
  const n = values.length;
  for (let i = 0; i < n; i++) if (Number.isNaN(values[i]!)) throw new RangeError(`NaN at point ${i}`);
  if (n === 0) return new Float64Array(0);
  if (width === 1) return Float64Array.from(values);
  if (edge === 'shrink') return shrinking(values, width);
  return rolling(padded(values, (width - 1) / 2, edge), width, n);
}

function padded(values: Float64Array, half: number, edge: 'nearest' | 'reflect'): Float64Array {
  const n = values.length;
  const out = new Float64Array(n + 2 * half);
  out.set(values, half);
  const period = 2 * n;
  for (let i = 1; i <= half; i++) {
    if (edge === 'nearest') {
      out[half - i] = values[0]!;
      out[half + n - 1 + i] = values[n - 1]!;
    } else {
      const left = (i - 1) % period;
      out[half - i] = values[left < n ? left : period - 1 - left]!;
      const right = (((n - i) % period) + period) % period;
      out[half + n - 1 + i] = values[right < n ? right : period - 1 - right]!;
    }
  }
  return out;
}

function shrinking(values: Float64Array, width: number): Float64Array {
  const n = values.length;
  const half = Math.min((width - 1) / 2, (n - 1) >> 1);
  const out = new Float64Array(n);
  const inner = rolling(values, 2 * half + 1, n - 2 * half);
  out.set(inner, half);
  for (let i = 0; i < half; i++) {
    out[i] = medianOf(values.subarray(0, 2 * i + 1));
    out[n - 1 - i] = medianOf(values.subarray(n - 1 - 2 * i));
  }
  return out;
}

function medianOf(values: Float64Array): number {
  return Float64Array.from(values).sort()[(values.length - 1) >> 1]!;
}

/** Medians of all full windows of `source`: `count` of them, the first over source[0 … width − 1]. */
function rolling(source: Float64Array, width: number, count: number): Float64Array {
  const out = new Float64Array(count);
  // as many outputs a chunk as keep the ranked values in cache; found by trying
  const chunk = width <= 512 ? 1024 : width <= 4096 ? 4096 : 4 * width;
  const size = Math.min(chunk, count) + width - 1;
  const sorter = new ChunkSorter(size);
  const rankOf = new Int32Array(size);
  const bits = new Int32Array((size + 31) >> 5);
  const middle = (width - 1) / 2;
  for (let start = 0; start < count; start += chunk) {
    const outputs = Math.min(chunk, count - start);
    const length = outputs + width - 1;
    const order = sorter.sort(source, start, length);
    for (let r = 0; r < length; r++) rankOf[order[r]!] = r;
    bits.fill(0);
    for (let i = 0; i < width; i++) {
      const r = rankOf[i]!;
      bits[r >> 5]! |= 1 << (r & 31);
    }
    let median = selectBit(bits, middle);
    out[start] = source[start + order[median]!]!;
    for (let i = 1; i < outputs; i++) {
      const added = rankOf[i + width - 1]!;
      const removed = rankOf[i - 1]!;
      bits[added >> 5]! ^= 1 << (added & 31);
      bits[removed >> 5]! ^= 1 << (removed & 31);
      // the middle moves up when a lower value left and a higher one came, down in the opposite case
      if (removed <= median && added > median) median = nextBit(bits, median);
      else if (removed >= median && added < median) median = previousBit(bits, median);
      out[start + i] = source[start + order[median]!]!;
    }
  }
  return out;
}

function selectBit(bits: Int32Array, index: number): number {
  let left = index;
  for (let w = 0; ; w++) {
    let word = bits[w]!;
    while (word !== 0) {
      const low = word & -word;
      if (left-- === 0) return (w << 5) + 31 - Math.clz32(low);
      word ^= low;
    }
  }
}

function nextBit(bits: Int32Array, from: number): number {
  let w = from >> 5;
  const shift = from & 31;
  let word = shift === 31 ? 0 : bits[w]! & (-1 << (shift + 1));
  while (word === 0) word = bits[++w]!;
  return (w << 5) + 31 - Math.clz32(word & -word);
}

function previousBit(bits: Int32Array, from: number): number {
  let w = from >> 5;
  let word = bits[w]! & ~(-1 << (from & 31));
  while (word === 0) word = bits[--w]!;
  return (w << 5) + 31 - Math.clz32(word);
}

/** Sorts a stretch of doubles by value, giving positions; reuses its buffers. */
class ChunkSorter {
  private keys: Uint32Array;
  private order: Uint32Array;
  private spareKeys: Uint32Array;
  private spareOrder: Uint32Array;
  private readonly single = new Float32Array(1);
  private readonly image = new Uint32Array(this.single.buffer);
  private readonly counts = new Uint32Array(2048 * 3);

  constructor(size: number) {
    this.keys = new Uint32Array(size);
    this.order = new Uint32Array(size);
    this.spareKeys = new Uint32Array(size);
    this.spareOrder = new Uint32Array(size);
  }

  /** Positions 0 … length − 1, in ascending order of source[start + position]. */
  sort(source: Float64Array, start: number, length: number): Uint32Array {
    const { single, image, counts } = this;
    let { keys, order, spareKeys, spareOrder } = this;
    counts.fill(0);
    for (let i = 0; i < length; i++) {
      single[0] = source[start + i]!;
      const raw = image[0]!;
      const key = (raw >>> 31 === 1 ? ~raw : raw | 0x80000000) >>> 0;
      keys[i] = key;
      order[i] = i;
      counts[key & 2047]!++;
      counts[2048 + ((key >>> 11) & 2047)]!++;
      counts[4096 + (key >>> 22)]!++;
    }
    for (let pass = 0; pass < 3; pass++) {
      const base = pass * 2048;
      let sum = 0;
      for (let b = 0; b < 2048; b++) {
        const c = counts[base + b]!;
        counts[base + b] = sum;
        sum += c;
      }
      const shift = pass * 11;
      for (let i = 0; i < length; i++) {
        const key = keys[i]!;
        const to = counts[base + ((key >>> shift) & 2047)]!++;
        spareKeys[to] = key;
        spareOrder[to] = order[i]!;
      }
      [keys, spareKeys] = [spareKeys, keys];
      [order, spareOrder] = [spareOrder, order];
    }
    this.keys = keys;
    this.order = order;
    this.spareKeys = spareKeys;
    this.spareOrder = spareOrder;
    this.repairTies(source, start, length);
    return this.order;
  }

  /** Values equal in float32 can be out of order: insertion on the doubles, capped, else a comparison sort of the run. */
  private repairTies(source: Float64Array, start: number, length: number): void {
    const { keys, order } = this;
    let i = 1;
    while (i < length) {
      if (keys[i] !== keys[i - 1]) {
        i++;
        continue;
      }
      const first = i - 1;
      while (i < length && keys[i] === keys[first]) i++;
      if (i - first <= 16) {
        for (let j = first + 1; j < i; j++) {
          const position = order[j]!;
          const value = source[start + position]!;
          let k = j - 1;
          while (k >= first && source[start + order[k]!]! > value) {
            order[k + 1] = order[k]!;
            k--;
          }
          order[k + 1] = position;
        }
      } else order.subarray(first, i).sort((a, b) => source[start + a]! - source[start + b]! || 0 || a - b);
    }
  }
}
