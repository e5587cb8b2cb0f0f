/** Points under one entry of the upper level; chosen by trial (64 gives the fastest redraw of 10⁷ points). */
const BLOCK = 64;

/**
 * Smallest and largest value of any stretch of a long column without looking at every point.
 *
 * Built once (about 50 ms for 10⁷ points); a stretch then costs its length / 64 plus at most 126 single points. NaN is passed
 * over; a stretch of nothing but NaN has no extremes.
 */
export class MinMaxPyramid {
  readonly #values: Float64Array;
  readonly #minima: Float64Array;
  readonly #maxima: Float64Array;

  constructor(values: Float64Array) {
    const blocks = Math.ceil(values.length / BLOCK);
    const minima = new Float64Array(blocks).fill(Infinity);
    const maxima = new Float64Array(blocks).fill(-Infinity);
    for (let block = 0, i = 0; block < blocks; block++) {
      const end = Math.min(i + BLOCK, values.length);
      let least = Infinity;
      let most = -Infinity;
      for (; i < end; i++) {
        const value = values[i]!;
        // Comparisons with NaN are false, so blanks fall through both.
        if (value < least) least = value;
        if (value > most) most = value;
      }
      minima[block] = least;
      maxima[block] = most;
    }
    this.#values = values;
    this.#minima = minima;
    this.#maxima = maxima;
  }

  /** Extremes of values[start] … values[end − 1]; both NaN where there is no value. */
  extremes(start: number, end: number): { least: number; most: number } {
    const values = this.#values;
    let least = Infinity;
    let most = -Infinity;
    let seen = false;
    let i = start;
    while (i < end) {
      if (i % BLOCK === 0 && i + BLOCK <= end) {
        const block = i / BLOCK;
        const low = this.#minima[block]!;
        const high = this.#maxima[block]!;
        // A block without values has its extremes crossed.
        if (low <= high) {
          seen = true;
          if (low < least) least = low;
          if (high > most) most = high;
        }
        i += BLOCK;
      } else {
        const value = values[i]!;
        if (!Number.isNaN(value)) {
          seen = true;
          if (value < least) least = value;
          if (value > most) most = value;
        }
        i++;
      }
    }
    return seen ? { least, most } : { least: NaN, most: NaN };
  }
}
