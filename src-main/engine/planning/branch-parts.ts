import { addBits, weighBits } from '../numeric/bitset.ts';
import { addedWeight, sameChoice, type Assignment, type Choice, type Option } from './plan-problem.ts';
import { settle } from './search-plans.ts';
import type { Moves, SearchState } from './search-state.ts';
import { sharedWeightBound } from './shared-weight-bound.ts';

/** All assignments in which some sources are set; the others are still open. */
export interface Part {
  readonly assignment: Assignment;
  /** Places of the changeable sources that are set. */
  readonly set: readonly number[];
  readonly changes: number;
  readonly step: 'new' | 'seen' | 'priced';
  /** What is left of the options of an open source; where nothing was struck out yet, all. */
  readonly left: ReadonlyMap<number, readonly Option[]>;
  /** Prices of the nearest part above that has its own. */
  readonly prices: ReadonlyMap<number, Float32Array>;
  /** The source by which it is split. */
  readonly next: number;
  /** A bound for each option of that source, from the part's own prices. */
  readonly boundOf: readonly number[];
}

export interface Bounded {
  readonly bound: number;
  readonly part: Part;
}

const ROUNDS_FIRST = 120;
const ROUNDS_LATER = 12;
/** A part is priced once more where the last time closed this share of what is open between its bound and the best plan. */
const WORTH_ONCE_MORE = 0.1;
/** Prices are kept of so many bytes of parts; later ones go on with those of the part above. */
const MOST_KEPT_BYTES = 150e6;
/** A price that was rounded to single precision may be this much too high. */
const ROUNDED = 1 - 1e-6;

/** The parts of a proof: how they are bounded and split. Holds the best state known. */
export class Parts {
  best: SearchState;
  private readonly moves: Moves;
  private readonly mostChanges: number;
  private readonly slack: number;
  private readonly movable: ReadonlySet<number>;
  private readonly nothing: Uint32Array;
  private nearness = 0;
  private keptBytes = 0;
  private lastPrices: ReadonlyMap<number, Float32Array> = new Map();

  constructor(moves: Moves, best: SearchState, mostChanges: number, slack: number) {
    this.moves = moves;
    this.best = best;
    this.mostChanges = mostChanges;
    this.slack = slack;
    this.movable = new Set(moves.choices.changeable);
    this.nothing = new Uint32Array(moves.problem.grid.words);
  }

  /** A part whose bound reaches this holds nothing better than the best. */
  get enough(): number {
    return Math.min(this.best.weight - this.slack, this.best.weight * (1 - this.nearness));
  }

  /** Begins anew: from here on parts whose bound comes this near to the best weight are left, relative. Prices are kept. */
  begin(nearness: number): void {
    this.nearness = nearness;
    this.keptBytes = 0;
  }

  whole(): Part {
    const { today } = this.moves.problem;
    const none = new Map();
    return { assignment: today, set: [], changes: 0, step: 'new', left: none, prices: none, next: -1, boundOf: [] };
  }

  /**
   * The cheap bound: what is lost, plus the larger of (a) the most that a single open source must add at least, and (b) Σ over the open sources
   * of what each must pay at the prices of the part above. A source that may be clocked by a source that is still open is left out of both: that
   * only lowers the bound.
   *
   * @returns null where nothing better can be in it
   */
  look(part: Part, key: number): Bounded | null {
    const open = this.openOf(part);
    if (open.length === 0) {
      this.note(this.moves.stateOf(part.assignment));
      return null;
    }
    const { lost, base } = this.lostTo(part);
    const { grid } = this.moves.problem;
    const set = new Set(part.set);
    let [most, next, paidInAll] = [-1, -1, 0];
    let clock = -1;
    const left = new Map<number, readonly Option[]>();
    for (const place of open) {
      if (!this.isSettled(place, part.assignment, set)) continue;
      const prices = part.prices.get(place) ?? this.lastPrices.get(place);
      let [least, leastPaid] = [Infinity, Infinity];
      const worth: Option[] = [];
      let words = 0;
      for (const option of this.allowed(place, part)) {
        // what it takes is at most what is lost and what it adds
        if (option.weight >= this.enough) continue;
        words += option.used.length;
        const added = addedWeight(option, lost, grid);
        if (base + added >= this.enough) continue;
        worth.push(option);
        least = Math.min(least, added);
        if (prices !== undefined && leastPaid > 0)
          leastPaid = Math.min(leastPaid, paid(option, lost, prices, leastPaid));
      }
      this.moves.effort.spend(3 * words);
      if (worth.length === 0) return null;
      left.set(place, worth);
      if (least > most) [most, next] = [least, place];
      if (clock < 0 && this.moves.choices.mayBeMaster(place)) clock = place;
      if (prices !== undefined) paidInAll += leastPaid;
    }
    const bound = Math.max(key, base + Math.max(most, paidInAll * ROUNDED));
    if (bound >= this.enough) return null;
    return { bound, part: { ...part, step: 'seen', left, next: clock >= 0 ? clock : next } };
  }

  /** The close bound, at prices of the part's own; options that no better plan can have are struck out. Looks for a better plan on the way. */
  price(part: Part, key: number): Bounded | null {
    const { grid } = this.moves.problem;
    const { lost, base } = this.lostTo(part);
    const places = [...part.left.keys()];
    const options = places.map((place) => part.left.get(place)!);
    const rounds = this.lastPrices.size < 2 ? ROUNDS_FIRST : ROUNDS_LATER;
    const given = places.map((place) => asDoubles(part.prices.get(place) ?? this.lastPrices.get(place)));
    const start = given.every((column) => column === undefined) ? [] : given;
    const shared = sharedWeightBound(
      options,
      lost,
      grid,
      places.length < 2 ? 1 : rounds,
      this.moves.effort,
      start,
      this.enough - base,
    );
    const bound = Math.max(key, base + shared.bound);
    if (bound >= this.enough) return null;
    const left = new Map<number, readonly Option[]>();
    let boundOf: readonly number[] = [];
    for (const [v, place] of places.entries()) {
      const costs = shared.costs[v]!;
      const cheapest = costs.reduce((least, cost) => Math.min(least, cost), Infinity);
      const bounds = Array.from(costs, (cost) => base + shared.bound + (cost - cheapest) * ROUNDED);
      left.set(
        place,
        options[v]!.filter((_, o) => bounds[o]! < this.enough),
      );
      if (place === part.next) boundOf = bounds.filter((of) => of < this.enough);
    }
    if (places.length === this.openOf(part).length && this.mostChanges >= this.movable.size)
      this.roundOff(part, lost, left, shared.costs, places);
    const bytes = 4 * 32 * grid.words * places.length;
    let { prices } = part;
    const isKept = this.keptBytes + bytes <= MOST_KEPT_BYTES;
    if (isKept) {
      this.keptBytes += bytes;
      prices = new Map(places.map((place, v) => [place, Float32Array.from(shared.prices[v]!)]));
      this.lastPrices = prices;
    }
    const isOnceMore = isKept && bound - key >= WORTH_ONCE_MORE * (this.enough - bound);
    return { bound, part: { ...part, step: isOnceMore ? 'seen' : 'priced', left, prices, boundOf } };
  }

  /** The part for each option of one more source. */
  split(part: Part, key: number): Bounded[] {
    const { today, grid } = this.moves.problem;
    const place = part.next;
    const { lost, base } = this.lostTo(part);
    const options = part.left.get(place)!;
    const left = new Map(part.left);
    left.delete(place);
    const found: Bounded[] = [];
    for (const [o, option] of options.entries()) {
      const isChange = !sameChoice(option.choice, today[place]!);
      const bound = Math.max(key, part.boundOf[o]!, base + addedWeight(option, lost, grid));
      if (bound >= this.enough) continue;
      found.push({
        bound,
        part: {
          ...part,
          assignment: part.assignment.with(place, option.choice),
          set: [...part.set, place],
          changes: part.changes + (isChange ? 1 : 0),
          step: 'new',
          left,
        },
      });
    }
    this.moves.effort.spend(options.reduce((sum, { used }) => sum + used.length, 0));
    return found;
  }

  /** A plan from the prices: the open sources in turn, dearest first, each where it adds least; then each set anew until none can be set better. */
  private roundOff(
    part: Part,
    lost: Uint32Array,
    left: ReadonlyMap<number, readonly Option[]>,
    costs: readonly Float64Array[],
    places: readonly number[],
  ): void {
    const { grid } = this.moves.problem;
    const leastOf = new Map(places.map((place, v) => [place, Math.min(...costs[v]!)]));
    const union = lost.slice();
    let { assignment } = part;
    for (const place of [...places].sort((a, b) => leastOf.get(b)! - leastOf.get(a)! || a - b)) {
      let [best, least]: [Option | null, number] = [null, Infinity];
      for (const option of left.get(place)!) {
        const weight = addedWeight(option, union, grid);
        if (weight < least - 1e-9) [best, least] = [option, weight];
      }
      this.moves.effort.spend(left.get(place)!.reduce((sum, { used }) => sum + used.length, 0));
      if (best === null) return;
      assignment = assignment.with(place, best.choice);
      addBits(union, best.bits);
    }
    this.note(settle(this.moves, this.moves.stateOf(assignment), places));
  }

  private note(state: SearchState): void {
    if (state.weight < this.best.weight - 1e-9 && this.moves.keepsRanges(state)) this.best = state;
  }

  private openOf(part: Part): number[] {
    return this.moves.choices.changeable.filter((place) => !part.set.includes(place));
  }

  private allowed(place: number, part: Part): readonly Option[] {
    const options = part.left.get(place) ?? this.moves.optionsOf(place, part.assignment);
    const all = options.filter(({ frequencyHz }) => !this.moves.isOutOfRange(place, frequencyHz));
    if (part.changes < this.mostChanges) return all;
    return all.filter(({ choice }) => sameChoice(choice, this.moves.problem.today[place]!));
  }

  /** True where all that may clock this source is set or cannot change. */
  private isSettled(place: number, assignment: Assignment, set: ReadonlySet<number>): boolean {
    const clocks = [...this.moves.choices.masters[place]!];
    const choice = this.moves.problem.today[place]!;
    if (choice.kind === 'locked') clocks.push(choice.to);
    return clocks.every((clock) => this.isFixed(clock, assignment, set));
  }

  private isFixed(place: number, assignment: Assignment, set: ReadonlySet<number>): boolean {
    for (let at: number | null = place; at !== null;) {
      if (this.movable.has(at) && !set.has(at)) return false;
      const of: Choice = assignment[at]!;
      at = of.kind === 'locked' ? of.to : null;
    }
    return true;
  }

  /** What is lost whatever the open sources choose, and its weight. Sources that follow an open one count once it is set. */
  private lostTo({ assignment, set }: Part): { lost: Uint32Array; base: number } {
    const { problem, effort } = this.moves;
    const isSet = new Set(set);
    const lost = new Uint32Array(problem.grid.words);
    for (const [place, choice] of assignment.entries()) {
      if (this.movable.has(place) && !isSet.has(place)) continue;
      if (choice.kind === 'locked' && !this.isFixed(choice.to, assignment, isSet)) continue;
      addBits(lost, problem.option(place, choice, assignment).bits);
    }
    effort.spend(problem.grid.words * assignment.length);
    return { lost, base: weighBits(lost, this.nothing, problem.grid.weightOfWord) };
  }
}

const asDoubles = (prices: Float32Array | undefined) => (prices === undefined ? undefined : Float64Array.from(prices));

/** Σ price of an option's channels that are not lost yet; anything from `enough` on once that is reached. */
function paid({ bits, used }: Option, lost: Uint32Array, prices: Float32Array, enough: number): number {
  let sum = 0;
  for (let j = 0; j < used.length && sum < enough; j++) {
    const word = used[j]!;
    for (let rest = bits[word]! & ~lost[word]!; rest !== 0; rest &= rest - 1)
      sum += prices[word * 32 + 31 - Math.clz32(rest & -rest)]!;
  }
  return sum;
}
