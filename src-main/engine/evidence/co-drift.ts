/** One other capture in which combs have moved, as a line that belongs to none of them sees it. */
export interface MovedCapture {
  readonly file: string;
  /** For each comb: fundamental there over fundamental here; null where it did not go on, or hardly moved at this line's frequency. */
  readonly ratios: readonly (number | null)[];
  /** Does a line of about this line's level stand there at a frequency? */
  readonly standsAt: (frequencyHz: number) => boolean;
  /** Probability that some line stands within the tolerance of any one place there. */
  readonly accident: number;
}

export interface CoDrift {
  /** Combs by index that the line moved with in every capture that could show it; several where their ratios were alike. */
  readonly combs: readonly number[];
  readonly files: readonly string[];
  /** Chance that lines at random places do the same, all combs counted in. */
  readonly chance: number;
}

/** A choice of this tool: one line in a hundred may be said to move along by accident. */
const MOST_CHANCE = 0.01;

/**
 * Does a line that fits no comb move by the same ratio as one? Then it belongs to that comb or to something bound to it: a source
 * locked by a ratio, its half frequency, a modulation.
 *
 * It must stand at its frequency times the comb's ratio in every capture where that comb moved, and the product of the accidents, times
 * the number of combs tried, must be below 1 %. Combs that moved alike (parts of one type over temperature) cannot be told apart: all are named.
 * Null where no comb passes.
 */
export function coDriftOf(frequencyHz: number, captures: readonly MovedCapture[]): CoDrift | null {
  const combs = captures[0]?.ratios.length ?? 0;
  const found: CoDrift[] = [];
  for (let c = 0; c < combs; c++) {
    const tried = captures.filter(({ ratios }) => ratios[c] !== null);
    if (tried.length === 0 || !tried.every(({ ratios, standsAt }) => standsAt(frequencyHz * ratios[c]!))) continue;
    const chance = Math.min(1, combs * tried.reduce((product, { accident }) => product * accident, 1));
    if (chance >= MOST_CHANCE) continue;
    const files = tried.map(({ file }) => file);
    found.push({ combs: [c], files, chance });
  }
  const [first] = found;
  return first === undefined ? null : { ...first, combs: found.flatMap((one) => one.combs) };
}
