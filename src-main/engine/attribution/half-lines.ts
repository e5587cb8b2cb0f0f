import { MASKED } from './comb-support.ts';
import type { LineTable } from './line-table.ts';
import { normalTail } from '../numeric/normal.ts';

/** Levels scatter about one smooth wave by this much between neighbours, dB, one in four far more: notches, other lines. A choice of this tool. */
const SCATTER_DB = 2.5;
const WILD_SHARE = 0.25;
const WILD_SCATTER_DB = 15;
/** A line that is not seen stands at most this far over the floor. A choice of this tool. */
const UNSEEN_OVER_DB = 6;
/** How much weaker the lines at odd multiples of half the frequency are than the source's own beside them, dB; all alike likely. A choice of this tool. */
const WEAKER_DB = [3, 6, 9, 12, 15, 18, 24];
/** Every fourth harmonic may be raised so far by another comb locked to four times the frequency, dB. A choice of this tool. */
const RAISED_DB = [0, 3, 6, 9, 12, 16, 20];
/** Even harmonics compared: the lowest, since the duty cycle must be tried the more finely the higher they are. */
const MOST_COMPARED = 120;
/** A null is never deeper than this share of the wave: edges are not alike. A choice of this tool. */
const DEEPEST_NULL = 0.02;

/**
 * Are the even harmonics of a comb a source's own and the odd ones lines at odd multiples of half its frequency, as two-stage converters
 * show them; or is the comb one rectangular wave of half the frequency?
 *
 * One wave of duty cycle D has harmonics |sin πnD|/n (Fourier series of a rectangular pulse train); its level differences between even and odd
 * neighbours follow from D alone, whatever smooth path the waves take. Every fourth may be stronger by one amount: another comb locked to the
 * first often stands there. Against the best D of all stand waves of twice the frequency whose
 * lines in between are weaker by 3…24 dB, every duty cycle and weakness alike likely. The likelihood of these over that of the best single wave
 * exceeds 1/p with probability p at most where the single wave is true (Markov's inequality; the true wave is no likelier than the best one).
 *
 * @param comb its matches among all lines, of half the source's frequency
 * @returns log10 of that p, 0 at most; 0 where no even harmonic can be compared with a neighbour
 */
export function log10HalfLineChance(
  lines: LineTable,
  comb: { readonly firstHarmonic: number; readonly matches: Int32Array },
): number {
  const steps = compareNeighbours(lines, comb);
  if (steps.length === 0) return 0;
  const highest = steps[steps.length - 1]!.harmonic;
  const expected = new Float64Array(steps.length);
  const all = [...steps.keys()];
  const fourths = all.filter((i) => steps[i]!.harmonic % 4 === 0);
  const others = all.filter((i) => steps[i]!.harmonic % 4 !== 0);
  let single = Number.NEGATIVE_INFINITY;
  eachWave(highest + 1, (levelDb) => {
    for (const [i, { harmonic: n, below, above }] of steps.entries())
      expected[i] = levelDb[n]! - Math.max(below ? levelDb[n - 1]! : NOTHING_DB, above ? levelDb[n + 1]! : NOTHING_DB);
    const raised = maximum(RAISED_DB.map((raisedDb) => logLikelihood(steps, fourths, expected, raisedDb)));
    single = Math.max(single, logLikelihood(steps, others, expected, 0) + raised);
  });
  const pairs: number[] = [];
  eachWave(highest / 2 + 1, (levelDb) => {
    for (const [i, { harmonic, below, above }] of steps.entries()) {
      const m = harmonic / 2;
      // the stronger of the two own lines beside it tells how strong a line in between is
      const beside = Math.max(below ? levelDb[m - 1]! : NOTHING_DB, above ? levelDb[m + 1]! : NOTHING_DB);
      expected[i] = Math.min(0, levelDb[m]! - beside);
    }
    for (const weakerDb of WEAKER_DB) pairs.push(logLikelihood(steps, all, expected, weakerDb));
  });
  const top = maximum(pairs);
  const pair = top + Math.log(pairs.reduce((sum, one) => sum + Math.exp(one - top), 0) / pairs.length);
  return Math.min(0, (single - pair) / Math.LN10);
}

/** How far one even harmonic stands over the stronger of its neighbours. */
interface Step {
  readonly harmonic: number;
  readonly overDb: number;
  /** 0: measured; 1: at least so far, the neighbours are not seen; −1: at most so far, it is not seen itself. */
  readonly bound: -1 | 0 | 1;
  /** Which neighbours can be told. */
  readonly below: boolean;
  readonly above: boolean;
}

function compareNeighbours(
  lines: LineTable,
  { firstHarmonic, matches }: { readonly firstHarmonic: number; readonly matches: Int32Array },
): Step[] {
  const isTold = (j: number): boolean => j >= 0 && j < matches.length && matches[j] !== MASKED;
  const levelOf = (j: number): number =>
    isTold(j) && matches[j]! >= 0 ? lines.levelDb[matches[j]!]! : Number.NEGATIVE_INFINITY;
  const steps: Step[] = [];
  for (let j = firstHarmonic % 2; j < matches.length && steps.length < MOST_COMPARED; j += 2) {
    const [below, above] = [isTold(j - 1), isTold(j + 1)];
    if (!isTold(j) || (!below && !above)) continue;
    const own = levelOf(j);
    const beside = Math.max(levelOf(j - 1), levelOf(j + 1));
    const strongest = own > beside ? j : levelOf(j - 1) === beside ? j - 1 : j + 1;
    // what is not seen lies under what is seen by as much at the least as that stands over the edge of sight
    const roomDb = matches[strongest]! >= 0 ? lines.overFloorDb[matches[strongest]!]! - UNSEEN_OVER_DB : -1;
    const isBound = own === Number.NEGATIVE_INFINITY || beside === Number.NEGATIVE_INFINITY;
    if (isBound && roomDb < 0) continue;
    const bound = !isBound ? 0 : own > beside ? 1 : -1;
    steps.push({
      harmonic: firstHarmonic + j,
      overDb: bound === 0 ? own - beside : bound * roomDb,
      bound,
      below,
      above,
    });
  }
  return steps;
}

const NOTHING_DB = -1e3;
const DB_PER_NEPER = 20 / Math.LN10;

/**
 * Levels of harmonics 0 (none) … highest of one wave, dB, for duty cycles up to one half, so fine that no harmonic turns by more than
 * an eighth between two. The array is filled anew each time.
 */
function eachWave(highest: number, visit: (levelDb: Float64Array) => void): void {
  const levelDb = new Float64Array(highest + 1).fill(NOTHING_DB);
  const count = 4 * highest;
  for (let i = 1; i <= count; i++) {
    // sin (n+1)x = 2 cos x · sin nx − sin (n−1)x: several times cheaper than a sine for each
    const turn = (0.5 * Math.PI * i) / count;
    const twice = 2 * Math.cos(turn);
    let before = 0;
    let sine = Math.sin(turn);
    for (let n = 1; n <= highest; n++) {
      levelDb[n] = DB_PER_NEPER * Math.log(Math.max(DEEPEST_NULL, Math.abs(sine)) / n);
      [before, sine] = [sine, twice * sine - before];
    }
    visit(levelDb);
  }
}

function logLikelihood(
  steps: readonly Step[],
  which: readonly number[],
  expectedDb: Float64Array,
  addedDb: number,
): number {
  let sum = 0;
  for (const i of which) {
    const { overDb, bound } = steps[i]!;
    const cell = Math.round((overDb - expectedDb[i]! - addedDb) * CELLS_PER_DB) + LAST_CELL;
    sum += LOG_DENSITY[bound + 1]![Math.max(0, Math.min(2 * LAST_CELL, cell))]!;
  }
  return sum;
}

function maximum(values: readonly number[]): number {
  return values.reduce((most, value) => Math.max(most, value), Number.NEGATIVE_INFINITY);
}

const CELLS_PER_DB = 4;
const LAST_CELL = 80 * CELLS_PER_DB;

/** Log density of an error in quarters of a decibel, −80…80 dB; where only a bound is known the log probability of what it leaves. */
const LOG_DENSITY = ([-1, 0, 1] as const).map((bound) =>
  Float64Array.from({ length: 2 * LAST_CELL + 1 }, (_, cell) => {
    const errorDb = (cell - LAST_CELL) / CELLS_PER_DB;
    const of = (scatterDb: number): number =>
      bound === 0
        ? Math.exp(-((errorDb / scatterDb) ** 2) / 2) / (Math.sqrt(2 * Math.PI) * scatterDb)
        : normalTail((bound * errorDb) / scatterDb);
    return Math.log((1 - WILD_SHARE) * of(SCATTER_DB) + WILD_SHARE * of(WILD_SCATTER_DB) + Number.MIN_VALUE);
  }),
);
