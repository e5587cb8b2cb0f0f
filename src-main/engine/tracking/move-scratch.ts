/** What `naming` says: one of the two has no name, both have the same, or each its own. */
export const UNNAMED = 0;
export const SAME_NAME = 1;
export const ANOTHER_NAME = 2;

/**
 * Columns that are filled anew for every movement that is tried: some ten thousand times in a build of two hundred states, and making
 * them costs more than filling them. One for each matching; what they hold means nothing between calls.
 */
export class MoveScratch {
  /** Of a family's lines: the line, its image, the weight, the change in level; lines without image. As long as the largest family. */
  readonly line: Int32Array;
  readonly other: Int32Array;
  readonly weight: Float64Array;
  readonly change: Float64Array;
  readonly missing: Int32Array;
  /** For each line of the other side the try in which it was last an image. */
  readonly imageIn: Int32Array;
  /** For each group of the other side how its name stands to that of the family that is being followed. */
  readonly naming: Uint8Array;
  /** Counted up with each try. */
  tries = 0;
  #votes = [votesOf(0), votesOf(0)] as const;
  #sums = new Float64Array(0);
  #moments = new Float64Array(0);

  constructor(largestFamily: number, otherLines: number, otherGroups: number) {
    this.naming = new Uint8Array(otherGroups);
    this.line = new Int32Array(largestFamily);
    this.other = new Int32Array(largestFamily);
    this.weight = new Float64Array(largestFamily);
    this.change = new Float64Array(largestFamily);
    this.missing = new Int32Array(largestFamily);
    this.imageIn = new Int32Array(otherLines);
  }

  /** A family is going to be followed: how do the other side's names stand to its own? */
  follow(name: string | null, others: readonly { readonly name: string | null }[]): void {
    for (let h = 0; h < others.length; h++) {
      const other = others[h]!.name;
      this.naming[h] = name === null || other === null ? UNNAMED : other === name ? SAME_NAME : ANOTHER_NAME;
    }
  }

  /** Two sets of columns of that length at least. */
  votes(count: number) {
    if (this.#votes[0].ratio.length < count) this.#votes = [votesOf(2 * count), votesOf(2 * count)];
    return this.#votes;
  }

  sums(count: number): { sums: Float64Array; moments: Float64Array } {
    if (this.#sums.length < count) {
      this.#sums = new Float64Array(2 * count);
      this.#moments = new Float64Array(2 * count);
    }
    return { sums: this.#sums, moments: this.#moments };
  }
}

function votesOf(count: number) {
  return { ratio: new Float64Array(count), sigma: new Float64Array(count), member: new Int32Array(count) };
}
