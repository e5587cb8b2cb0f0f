import type { ChannelGrid } from './channel-grid.ts';
import type { Option } from './plan-problem.ts';
import type { Effort } from './search-state.ts';

export interface SharedWeightBound {
  /** No choice of one option a source loses less than this beyond what is taken. */
  readonly bound: number;
  /** What each source is asked for each channel: one column of channels a source, at most the channel's weight in sum. */
  readonly prices: readonly Float64Array[];
  /** What each option of each source costs at these prices. */
  readonly costs: readonly Float64Array[];
}

/**
 * How evenly a source spreads over its options while prices are sought: a share of the mean cost of a source at the beginning and at the
 * end. Choices of this tool, tried on lists of six kinds against the linear programme solved by a reference library: 100 rounds come within 1 to 14 % of it.
 */
const SPREAD_FIRST = 0.3;
const SPREAD_WARM = 0.1;
const SPREAD_LAST = 0.03;
/** Steps are ratios to the power 2^−k: roots of roots are the same on every machine. k at least and at most. Choices of this tool. */
const ROOTS = { least: 1, most: 5 };
/** After so many rounds that raised the bound the step is made longer again. A choice of this tool. */
const RISES = 8;
/** No share falls under this part of its channel's weight: a share of nothing could never rise again. */
const LEAST_SHARE = 1e-6;

/**
 * A lower bound on the weight of the union when one option is taken of each source.
 *
 * Every channel's weight is dealt out among the sources, so that no channel is paid for twice; each source then takes the option that is
 * cheapest at its own prices. Whatever is chosen, the union weighs at least the sum: this is the Lagrangian dual of the
 * covering form (Geoffrion 1974, from memory), and its best value is that of the linear programme
 *   min Σ w_c y_c,  y_c ≥ Σ_o x_vo [c ∈ S_vo] for every source v,  Σ_o x_vo = 1,  x ≥ 0.
 *
 * Prices are sought with the least of a source's costs smoothed: it spreads over its options as exp(−cost / T), and a channel's weight
 * goes to the sources that stand in it most often, in multiplicative steps that keep the shares of a channel at one in sum. T falls from round to
 * round. Σ_v min_o Σ_{c ∈ S_vo} p_vc with Σ_v p_vc ≤ w_c is a bound for any shares, so stopping early costs strength and never truth.
 *
 * @param optionsOf options of each source that must take one
 * @param taken channels that are lost whatever is chosen: they cost nothing more
 * @param start prices to begin with, one column a source, as a similar question gave them; where there is none, equal shares
 * @param enough the search for prices ends once the bound has reached this
 */
export function sharedWeightBound(
  optionsOf: readonly (readonly Option[])[],
  taken: Uint32Array,
  grid: ChannelGrid,
  rounds: number,
  effort: Effort,
  start: readonly (Float64Array | undefined)[] = [],
  enough = Infinity,
): SharedWeightBound {
  const count = optionsOf.length;
  const weights = weightsBeside(taken, grid);
  const columns = optionsOf.map((options) => columnOf(options, weights));
  const work = columns.reduce((sum, { at, work: of }) => sum + at.length + of, grid.words);
  effort.spend(2 * count * weights.length + 2 * work);
  const shares = columns.map(({ at }, v) => {
    const from = start[v];
    return Float64Array.from(at, (c) => (from === undefined ? weights[c]! / count : from[c]!));
  });
  share(shares, columns, weights);
  const prefix = new Float64Array(weights.length + 1);
  const presence = columns.map(({ at }) => new Float64Array(at.length + 1));
  let costs: Float64Array[] = optionsOf.map((options) => new Float64Array(options.length));
  const bestShares = shares.map((of) => of.slice());
  let best = { bound: 0, costs };
  let [roots, rises, before] = [ROOTS.least, 0, 0];
  const spreadFirst = start.length === 0 ? SPREAD_FIRST : SPREAD_WARM;
  for (let round = 0; round < rounds && !effort.isSpent; round++) {
    let bound = 0;
    costs = columns.map(({ runs }, v) => costsAt(shares[v]!, runs, prefix));
    for (const of of costs) bound += least(of);
    effort.spend(work);
    if (bound > best.bound || round === 0) {
      best = { bound, costs };
      for (const [v, of] of bestShares.entries()) of.set(shares[v]!);
    }
    if (bound >= enough || round + 1 === rounds || count < 2) break;
    rises = bound < before ? 0 : rises + 1;
    if (bound < before) roots = Math.min(ROOTS.most, roots + 1);
    else if (rises % RISES === 0) roots = Math.max(ROOTS.least, roots - 1);
    before = bound;
    const spread = (best.bound / count) * spreadFirst * (SPREAD_LAST / spreadFirst) ** (round / rounds);
    for (const [v, { runs }] of columns.entries()) standIn(runs, costs[v]!, spread, presence[v]!);
    raise(shares, columns, presence, weights, roots);
    effort.spend(work);
  }
  const prices = columns.map(({ at }, v) => {
    const column = new Float64Array(weights.length);
    for (let i = 0; i < at.length; i++) column[at[i]!] = bestShares[v]![i]!;
    return column;
  });
  // sums of some ten thousand doubles: the last digits are rounding
  return { bound: best.bound * (1 - 1e-9), prices, costs: best.costs };
}

/** The channels that a source may take at all and that cost something, and its options as ranges of these. */
interface Column {
  readonly at: Uint32Array;
  readonly runs: readonly Uint32Array[];
  readonly work: number;
}

function weightsBeside(taken: Uint32Array, grid: ChannelGrid): Float64Array {
  const weights = new Float64Array(grid.words * 32);
  for (let c = 0; c < weights.length; c++)
    weights[c] = ((taken[c >>> 5]! >>> (c & 31)) & 1) === 1 ? 0 : grid.weightOfWord[c >>> 5]!;
  return weights;
}

function columnOf(options: readonly Option[], weights: Float64Array): Column {
  const all = new Uint32Array(weights.length / 32);
  for (const { bits, used } of options) for (let j = 0; j < used.length; j++) all[used[j]!]! |= bits[used[j]!]!;
  const at = new Uint32Array(weights.length);
  const before = new Uint32Array(weights.length + 1);
  let count = 0;
  for (let c = 0; c < weights.length; c++) {
    if (((all[c >>> 5]! >>> (c & 31)) & 1) === 1 && weights[c]! > 0) at[count++] = c;
    before[c + 1] = count;
  }
  const runs = options.map(({ bits }) => runsOf(bits).map((edge) => before[edge]!));
  return { at: at.slice(0, count), runs, work: runs.reduce((sum, run) => sum + run.length, 0) };
}

function least(costs: Float64Array): number {
  let found = Infinity;
  for (const cost of costs) if (cost < found) found = cost;
  return found;
}

/** `prefix` is room for sums, its first place zero. */
function costsAt(prices: Float64Array, runs: readonly Uint32Array[], prefix: Float64Array): Float64Array {
  for (let c = 0; c < prices.length; c++) prefix[c + 1] = prefix[c]! + prices[c]!;
  return Float64Array.from(runs, (run) => {
    let cost = 0;
    for (let i = 0; i < run.length; i += 2) cost += prefix[run[i + 1]!]! - prefix[run[i]!]!;
    return cost;
  });
}

/** How often a source stands in each channel where it spreads over its options as exp(−cost / spread). */
function standIn(runs: readonly Uint32Array[], costs: Float64Array, spread: number, presence: Float64Array): void {
  const cheapest = least(costs);
  const parts = costs.map((cost) =>
    Math.exp(spread > 0 ? (cheapest - cost) / spread : cost > cheapest ? -Infinity : 0),
  );
  const all = parts.reduce((sum, part) => sum + part, 0);
  presence.fill(0);
  for (const [o, run] of runs.entries()) {
    const part = parts[o]! / all;
    if (part < 1e-9) continue;
    for (let i = 0; i < run.length; i += 2) {
      presence[run[i]!]! += part;
      presence[run[i + 1]!]! -= part;
    }
  }
  let sum = 0;
  for (let c = 0; c < presence.length; c++) {
    sum += presence[c]!;
    presence[c] = sum < 1e-12 ? 0 : sum;
  }
}

/** The source that stands in a channel most often keeps its share, the others' fall with the step; then the sum is restored. */
function raise(
  shares: readonly Float64Array[],
  columns: readonly Column[],
  presence: readonly Float64Array[],
  weights: Float64Array,
  roots: number,
): void {
  const most = new Float64Array(weights.length);
  for (const [v, { at }] of columns.entries()) {
    const here = presence[v]!;
    for (let i = 0; i < at.length; i++) if (here[i]! > most[at[i]!]!) most[at[i]!] = here[i]!;
  }
  const sums = new Float64Array(weights.length);
  for (const [v, { at }] of columns.entries()) {
    const [of, here] = [shares[v]!, presence[v]!];
    for (let i = 0; i < at.length; i++) {
      const c = at[i]!;
      const floor = LEAST_SHARE * weights[c]!;
      let part = of[i]!;
      if (part > floor && here[i]! < most[c]!) {
        let ratio = here[i]! / most[c]!;
        for (let k = 0; k < roots; k++) ratio = Math.sqrt(ratio);
        part *= ratio;
      }
      if (!(part > floor)) part = floor;
      of[i] = part;
      sums[c]! += part;
    }
  }
  evenOut(shares, columns, weights, sums);
}

/** Makes the shares of each channel add up to its weight, none of them less than nothing. */
function share(shares: readonly Float64Array[], columns: readonly Column[], weights: Float64Array): void {
  const sums = new Float64Array(weights.length);
  for (const [v, { at }] of columns.entries()) {
    const of = shares[v]!;
    for (let i = 0; i < at.length; i++) {
      of[i] = Math.max(of[i]!, LEAST_SHARE * weights[at[i]!]!);
      sums[at[i]!]! += of[i]!;
    }
  }
  evenOut(shares, columns, weights, sums);
}

function evenOut(
  shares: readonly Float64Array[],
  columns: readonly Column[],
  weights: Float64Array,
  sums: Float64Array,
): void {
  const factors = sums;
  for (let c = 0; c < factors.length; c++) factors[c] = sums[c]! > 0 ? weights[c]! / sums[c]! : 0;
  for (const [v, { at }] of columns.entries()) {
    const of = shares[v]!;
    for (let i = 0; i < at.length; i++) of[i]! *= factors[at[i]!]!;
  }
}

const known = new WeakMap<Uint32Array, Uint32Array>();

/** A set as pairs of begin and end (excluded). Sets do not change once they are made, so theirs are worked out once. */
function runsOf(bits: Uint32Array): Uint32Array {
  let found = known.get(bits);
  if (found === undefined) {
    found = toRuns(bits);
    known.set(bits, found);
  }
  return found;
}

function toRuns(bits: Uint32Array): Uint32Array {
  const runs: number[] = [];
  let begin = -1;
  for (let word = 0; word < bits.length; word++) {
    const rest = bits[word]!;
    if (rest === 0 && begin < 0) continue;
    if (rest === 0xffffffff && begin >= 0) continue;
    for (let i = 0; i < 32; i++) {
      const isSet = ((rest >>> i) & 1) === 1;
      if (isSet && begin < 0) begin = word * 32 + i;
      if (!isSet && begin >= 0) {
        runs.push(begin, word * 32 + i);
        begin = -1;
      }
    }
  }
  if (begin >= 0) runs.push(begin, bits.length * 32);
  return Uint32Array.from(runs);
}
