import type { ChannelGrid } from './channel-grid.ts';
import type { Option } from './plan-problem.ts';
import type { Effort } from './search-state.ts';

/**
 * A lower bound on the weight of the union when one option is taken of each source.
 *
 * Every channel's weight is dealt out among the sources, so that no channel is paid for twice; each source then takes the option that is
 * cheapest at its own prices. Whatever is chosen, the union weighs at least the sum: this is the Lagrangian dual of the
 * covering form (Geoffrion 1974, from memory), here with multiplicative steps, which keep the shares of a channel at one in sum.
 *
 * Σ_v min_o Σ_{c ∈ S_vo} p_vc with Σ_v p_vc ≤ w_c is a bound for any shares, so stopping early costs strength and never truth.
 *
 * @param optionsOf options of each source that must take one
 * @param taken channels that are lost whatever is chosen: they cost nothing more
 * @returns the best bound found and the prices that gave it, one column of channels a source
 */
export function sharedWeightBound(
  optionsOf: readonly (readonly Option[])[],
  taken: Uint32Array,
  grid: ChannelGrid,
  rounds: number,
  effort: Effort,
): { readonly bound: number; readonly prices: readonly Float64Array[] } {
  const channels = grid.words * 32;
  const runs = optionsOf.map((options) => options.map(({ bits }) => runsOf(bits, taken)));
  const shares = optionsOf.map(() => new Float64Array(channels));
  for (let c = 0; c < channels; c++) {
    const weight = ((taken[c >>> 5]! >>> (c & 31)) & 1) === 1 ? 0 : grid.weightOfWord[c >>> 5]!;
    for (const share of shares) share[c] = weight / optionsOf.length;
  }
  const prefix = new Float64Array(channels + 1);
  let best = 0;
  let prices = shares.map((share) => share.slice());
  for (let round = 0; round < rounds && !effort.isSpent; round++) {
    let bound = 0;
    const chosen = shares.map((share, v) => {
      for (let c = 0; c < channels; c++) prefix[c + 1] = prefix[c]! + share[c]!;
      const [option, cost] = cheapest(runs[v]!, prefix);
      bound += cost;
      return runs[v]![option]!;
    });
    effort.spend(runs.reduce((sum, of) => sum + channels + of.reduce((n, run) => n + run.length, 0), 0) / 4);
    if (bound > best) {
      best = bound;
      prices = shares.map((share) => share.slice());
    }
    raise(shares, chosen, 0.5 / Math.sqrt(1 + round));
  }
  // sums of some ten thousand doubles: the last digits are rounding
  return { bound: best * (1 - 1e-9), prices };
}

function cheapest(runs: readonly Uint32Array[], prefix: Float64Array): [number, number] {
  let [at, least] = [0, Infinity];
  for (let o = 0; o < runs.length; o++) {
    const run = runs[o]!;
    let cost = 0;
    for (let i = 0; i < run.length; i += 2) cost += prefix[run[i + 1]!]! - prefix[run[i]!]!;
    if (cost < least) [at, least] = [o, cost];
  }
  return [at, least];
}

/** A source that stands in a channel can be asked for more of it; the others get less, so that the sum stays. */
function raise(shares: readonly Float64Array[], chosen: readonly Uint32Array[], step: number): void {
  const factor = Math.exp(step);
  const channels = shares[0]?.length ?? 0;
  const before = new Float64Array(channels);
  const after = new Float64Array(channels);
  for (const share of shares) for (let c = 0; c < channels; c++) before[c]! += share[c]!;
  for (const [v, run] of chosen.entries())
    for (let i = 0; i < run.length; i += 2) for (let c = run[i]!; c < run[i + 1]!; c++) shares[v]![c]! *= factor;
  for (const share of shares) for (let c = 0; c < channels; c++) after[c]! += share[c]!;
  for (const share of shares)
    for (let c = 0; c < channels; c++) if (after[c]! > before[c]!) share[c]! *= before[c]! / after[c]!;
}

/** A set without the taken channels as pairs of begin and end (excluded). */
export function runsOf(bits: Uint32Array, taken: Uint32Array): Uint32Array {
  const runs: number[] = [];
  let begin = -1;
  for (let word = 0; word < bits.length; word++) {
    const rest = bits[word]! & ~taken[word]!;
    if (rest === 0 && begin < 0) continue;
    if (rest === -1 && begin >= 0) continue;
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
