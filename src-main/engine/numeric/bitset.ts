/** Bits set in a 32-bit word. Warren, Hacker's Delight, 2nd ed. 2013, figure 5-2. */
export function popCount(word: number): number {
  let v = word - ((word >>> 1) & 0x55555555);
  v = (v & 0x33333333) + ((v >>> 2) & 0x33333333);
  return Math.imul((v + (v >>> 4)) & 0x0f0f0f0f, 0x01010101) >>> 24;
}

/** Sets the bits first … last, both included. */
export function setBits(bits: Uint32Array, first: number, last: number): void {
  const firstWord = first >>> 5;
  const lastWord = last >>> 5;
  const head = -1 << (first & 31);
  const tail = -1 >>> (31 - (last & 31));
  if (firstWord === lastWord) {
    bits[firstWord]! |= head & tail;
    return;
  }
  bits[firstWord]! |= head;
  bits.fill(0xffffffff, firstWord + 1, lastWord);
  bits[lastWord]! |= tail;
}

export function hasBit(bits: Uint32Array, index: number): boolean {
  return ((bits[index >>> 5]! >>> (index & 31)) & 1) === 1;
}

/** Adds the second set to the first. Same length. */
export function addBits(bits: Uint32Array, other: Uint32Array): void {
  for (let i = 0; i < bits.length; i++) bits[i]! |= other[i]!;
}

/** Bits of a set, all or those that are not in `without`. */
export function countBits(bits: Uint32Array, without: Uint32Array | null = null): number {
  let count = 0;
  for (let i = 0; i < bits.length; i++) count += popCount(without === null ? bits[i]! : bits[i]! & ~without[i]!);
  return count;
}

/** The words of a set that are not empty: most sets of lines are sparse, and only these need to be looked at. */
export function wordsInUse(bits: Uint32Array): Uint32Array {
  const used: number[] = [];
  for (let i = 0; i < bits.length; i++) if (bits[i] !== 0) used.push(i);
  return Uint32Array.from(used);
}

/** As weighBits, looking only at the words in use. */
export function weighWords(
  bits: Uint32Array,
  used: Uint32Array,
  without: Uint32Array,
  weightOfWord: Float64Array,
): number {
  let weight = 0;
  for (let j = 0; j < used.length; j++) {
    const i = used[j]!;
    let v = bits[i]! & ~without[i]!;
    if (v === 0) continue;
    // popCount, written out: the one hot loop of the search
    v -= (v >>> 1) & 0x55555555;
    v = (v & 0x33333333) + ((v >>> 2) & 0x33333333);
    weight += (Math.imul((v + (v >>> 4)) & 0x0f0f0f0f, 0x01010101) >>> 24) * weightOfWord[i]!;
  }
  return weight;
}

/** Σ weight of a set's bits that are not in `without`; every bit of word i weighs weightOfWord[i]. */
export function weighBits(bits: Uint32Array, without: Uint32Array, weightOfWord: Float64Array): number {
  let weight = 0;
  for (let i = 0; i < bits.length; i++) {
    const word = bits[i]! & ~without[i]!;
    if (word !== 0) weight += popCount(word) * weightOfWord[i]!;
  }
  return weight;
}
