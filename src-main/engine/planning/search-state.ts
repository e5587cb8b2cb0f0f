import { addBits, weighBits } from '../numeric/bitset.ts';
import {
  addedWeight,
  sameChoice,
  type Assignment,
  type Choice,
  type Option,
  type PlanProblem,
} from './plan-problem.ts';
import type { SourceChoices } from './source-choices.ts';

/** A full assignment under search. */
export interface SearchState {
  readonly assignment: Assignment;
  readonly options: readonly Option[];
  readonly weight: number;
}

/** Counts words looked at, so that a search ends after the same work on every machine, and asks whether it was stopped. */
export class Effort {
  private words = 0;
  private readonly most: number;
  private readonly isStopped: () => boolean;
  constructor(millions: number, isStopped: () => boolean) {
    this.most = millions * 1e6;
    this.isStopped = isStopped;
  }
  spend(words: number): void {
    this.words += words;
  }
  get share(): number {
    return Math.min(1, this.words / this.most);
  }
  get isSpent(): boolean {
    return this.words >= this.most || this.isStopped();
  }
}

/** Single moves of a search: the best choice of one source while the others stand. */
export class Moves {
  readonly problem: PlanProblem;
  readonly choices: SourceChoices;
  readonly effort: Effort;
  private readonly worked = new Map<string, readonly Option[]>();
  private readonly free = new WeakMap<Choice, Option>();

  constructor(problem: PlanProblem, choices: SourceChoices, effort: Effort) {
    this.problem = problem;
    this.choices = choices;
    this.effort = effort;
  }

  stateOf(assignment: Assignment): SearchState {
    const options = this.problem.options(assignment);
    return { assignment, options, weight: this.problem.weigh(options) };
  }

  /** All options of a source, today's first; worked out once for each set of frequencies its masters have. */
  optionsOf(place: number, assignment: Assignment): readonly Option[] {
    const masters = this.choices.masters[place]!.map((m) => this.problem.resolve(m, assignment).frequencyHz);
    const key = `${place}:${masters.join('/')}:${this.todayMasterHz(place, assignment)}`;
    let found = this.worked.get(key);
    if (found === undefined) {
      found = this.choices.of(place, assignment).map((choice) => this.optionOf(place, choice, assignment));
      this.worked.set(key, found);
    }
    return found;
  }

  /** What a free source takes does not depend on the others. */
  private optionOf(place: number, choice: Choice, assignment: Assignment): Option {
    let found = this.free.get(choice);
    if (found === undefined) {
      found = this.problem.option(place, choice, assignment);
      this.effort.spend(this.problem.grid.words);
      if (choice.kind === 'free') this.free.set(choice, found);
    }
    return found;
  }

  private todayMasterHz(place: number, assignment: Assignment): number | null {
    const today = this.problem.today[place]!;
    return today.kind === 'locked' ? this.problem.resolve(today.to, assignment).frequencyHz : null;
  }

  /** Sources that move along with this one: locked to it, directly or through others. */
  followers(place: number, assignment: Assignment): number[] {
    const found = new Set([place]);
    for (let grown = true; grown;) {
      grown = false;
      for (const [i, choice] of assignment.entries())
        if (choice.kind === 'locked' && found.has(choice.to) && !found.has(i)) {
          found.add(i);
          grown = true;
        }
    }
    found.delete(place);
    return [...found];
  }

  /** The union of all sources but these. */
  without(state: SearchState, places: readonly number[]): Uint32Array {
    const { words } = this.problem.grid;
    const bits = new Uint32Array(words);
    for (const [i, option] of state.options.entries()) if (!places.includes(i)) addBits(bits, option.bits);
    this.effort.spend(words * state.options.length);
    return bits;
  }

  /** The state after the best move of one source; the same state where no move is better. `among` picks from its choices. */
  best(
    state: SearchState,
    place: number,
    among: (option: Option, isToday: boolean) => boolean = () => true,
  ): SearchState {
    const followers = this.followers(place, state.assignment);
    const rest = this.without(state, [place, ...followers]);
    if (followers.length > 0) return this.bestWithFollowers(state, place, among);
    const { weightOfWord, words } = this.problem.grid;
    const restWeight = weighBits(rest, new Uint32Array(words), weightOfWord);
    let best: Option | null = null;
    let least = Infinity;
    const options = this.optionsOf(place, state.assignment);
    let looked = 0;
    for (const [i, option] of options.entries()) {
      if (!among(option, i === 0) || this.isOutOfRange(place, option.frequencyHz)) continue;
      // what it takes is at most what the others take and what it adds
      if (option.weight >= least) continue;
      looked += option.used.length;
      const weight = restWeight + addedWeight(option, rest, this.problem.grid);
      if (weight < least - 1e-9) [best, least] = [option, weight];
    }
    this.effort.spend(looked + words + options.length);
    if (best === null || sameChoice(best.choice, state.assignment[place]!)) return state;
    return {
      assignment: state.assignment.with(place, best.choice),
      options: state.options.with(place, best),
      weight: least,
    };
  }

  private bestWithFollowers(
    state: SearchState,
    place: number,
    among: (option: Option, isToday: boolean) => boolean,
  ): SearchState {
    let best = state;
    let least = Infinity;
    for (const [i, option] of this.optionsOf(place, state.assignment).entries()) {
      if (!among(option, i === 0)) continue;
      const moved = this.moved(state, place, option.choice);
      this.effort.spend(this.problem.grid.words * state.options.length);
      if (moved === null || moved.weight >= least - 1e-9) continue;
      [best, least] = [moved, moved.weight];
    }
    return best;
  }

  /** One source set to a choice, its followers taken along; null where one of them would leave its range. */
  moved(state: SearchState, place: number, choice: Choice): SearchState | null {
    const next = this.stateOf(state.assignment.with(place, choice));
    return this.keepsRanges(next) ? next : null;
  }

  /** False where a locked source was taken out of its range by its master. */
  keepsRanges({ options }: SearchState): boolean {
    return options.every(({ frequencyHz }, place) => !this.isOutOfRange(place, frequencyHz));
  }

  /** A source may stay where it is today though its range says otherwise, but not go there. */
  isOutOfRange(place: number, frequencyHz: number): boolean {
    const { adjust } = this.problem.sources[place]!;
    if (adjust === null || (frequencyHz >= adjust.lowHz * (1 - 1e-12) && frequencyHz <= adjust.highHz * (1 + 1e-12)))
      return false;
    return frequencyHz !== this.problem.resolve(place, this.problem.today).frequencyHz;
  }

  changedPlaces(state: SearchState): number[] {
    const { today } = this.problem;
    return this.choices.changeable.filter((place) => !sameChoice(state.assignment[place]!, today[place]!));
  }
}
