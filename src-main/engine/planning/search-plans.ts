import { seededRandom } from '../numeric/random.ts';
import { addBits } from '../numeric/bitset.ts';
import { addedWeight } from './plan-problem.ts';
import type { Moves, SearchState } from './search-state.ts';

/** States kept for one number of changes. */
const KEPT = 8;
/** Full plans that are taken apart change by change. */
const TAKEN_APART = 4;

/** The best states found, by their number of changes. */
export class Findings {
  private readonly byChanges = new Map<number, SearchState[]>();
  private readonly moves: Moves;
  constructor(moves: Moves) {
    this.moves = moves;
  }

  add(state: SearchState): void {
    const changes = this.moves.changedPlaces(state).length;
    const kept = this.byChanges.get(changes) ?? [];
    if (kept.some((other) => isSame(other, state))) return;
    kept.push(state);
    kept.sort((a, b) => a.weight - b.weight);
    this.byChanges.set(changes, kept.slice(0, KEPT));
  }

  of(changes: number): readonly SearchState[] {
    return this.byChanges.get(changes) ?? [];
  }

  /** Best states of all numbers of changes, least lost first; of two alike the one with fewer changes. */
  all(): SearchState[] {
    return [...this.byChanges.keys()]
      .sort((a, b) => a - b)
      .flatMap((changes) => this.byChanges.get(changes)!)
      .sort((a, b) => a.weight - b.weight);
  }
}

function isSame(a: SearchState, b: SearchState): boolean {
  return a.options.every(
    (option, i) => option.frequencyHz === b.options[i]!.frequencyHz && option.halfWidth === b.options[i]!.halfWidth,
  );
}

/**
 * Looks for plans along the trade-off of changes against lost weight.
 *
 * 1. From today on, one more change at a time, each the best single one, then all changed sources set anew in turn.
 * 2. Restarts: clocks drawn at random, the other sources set one after the other in random order, each where it adds least to those before it (so that combs fall
 *    onto each other), then each set anew in turn until nothing improves.
 * 3. The best full plans taken apart: the change that matters least is taken back, the others are set anew.
 * 4. For each number of changes: one change for another.
 *
 * Ends when nothing more is found to do or the effort is spent. The same seed gives the same plans.
 */
export function searchPlans(moves: Moves, seed: number, onFound: (state: SearchState) => void): Findings {
  const findings = new Findings(moves);
  const random = seededRandom(seed);
  const today = moves.stateOf(moves.problem.today);
  findings.add(today);
  const { changeable } = moves.choices;
  const note = (state: SearchState) => {
    findings.add(state);
    onFound(state);
  };

  oneMoreEach(moves, today, note);
  const restarts = changeable.length < 2 ? 0 : 400;
  for (let i = 0; i < restarts && moves.effort.share < 0.6 && !moves.effort.isSpent; i++)
    note(settle(moves, randomStart(moves, today, random), changeable));
  for (const state of findings.all().slice(0, TAKEN_APART)) takeApart(moves, state, note);
  for (let changes = 1; changes < changeable.length && !moves.effort.isSpent; changes++) {
    const [best] = findings.of(changes);
    if (best !== undefined) swapChanges(moves, best, note);
  }
  return findings;
}

function oneMoreEach(moves: Moves, today: SearchState, note: (state: SearchState) => void): void {
  let state = today;
  for (;;) {
    const changed = moves.changedPlaces(state);
    let best: SearchState = state;
    for (const place of moves.choices.changeable) {
      if (changed.includes(place)) continue;
      const next = moves.best(state, place);
      if (next.weight < best.weight - 1e-9) best = next;
      if (moves.effort.isSpent) break;
    }
    if (best === state) return;
    state = settle(moves, best, moves.changedPlaces(best));
    note(state);
    if (moves.effort.isSpent) return;
  }
}

/** Sets each of these sources anew in turn until none can be set better. */
export function settle(moves: Moves, from: SearchState, places: readonly number[]): SearchState {
  let state = from;
  for (let improved = true; improved && !moves.effort.isSpent;) {
    improved = false;
    for (const place of places) {
      const next = moves.best(state, place);
      if (next.weight < state.weight - 1e-9) {
        state = next;
        improved = true;
      }
    }
  }
  return state;
}

function randomStart(moves: Moves, today: SearchState, random: () => number): SearchState {
  const { problem, choices, effort } = moves;
  const { grid } = problem;
  const order = shuffled(choices.changeable, random);
  // masters first, or the ratios of those they clock would mean other frequencies afterwards
  const masters = order.filter(
    (place) => choices.mayBeMaster(place) || moves.followers(place, today.assignment).length > 0,
  );
  const union = moves.without(today, choices.changeable);
  let assignment = today.assignment;
  for (const [turn, place] of [...masters, ...order.filter((place) => !masters.includes(place))].entries()) {
    const isDrawn = turn === 0 || turn < masters.length;
    const options = moves.optionsOf(place, assignment);
    let best = options[Math.floor(random() * options.length)]!;
    if (!isDrawn) {
      let least = Infinity;
      for (const option of options) {
        const weight = addedWeight(option, union, grid);
        if (weight < least - 1e-9) [best, least] = [option, weight];
      }
    }
    effort.spend(options.reduce((sum, { used }) => sum + used.length, 0));
    assignment = assignment.with(place, best.choice);
    addBits(union, best.bits);
  }
  return moves.stateOf(assignment);
}

function takeApart(moves: Moves, from: SearchState, note: (state: SearchState) => void): void {
  let state = from;
  for (let changed = moves.changedPlaces(state); changed.length > 1 && !moves.effort.isSpent;) {
    let best: SearchState | null = null;
    for (const place of changed) {
      const back = moves.moved(state, place, moves.problem.today[place]!);
      moves.effort.spend(moves.problem.grid.words * state.options.length);
      if (back !== null && (best === null || back.weight < best.weight - 1e-9)) best = back;
    }
    if (best === null) return;
    state = settle(moves, best, moves.changedPlaces(best));
    note(state);
    const left = moves.changedPlaces(state);
    if (left.length >= changed.length) return;
    changed = left;
  }
}

function swapChanges(moves: Moves, from: SearchState, note: (state: SearchState) => void): void {
  let state = from;
  for (let improved = true; improved && !moves.effort.isSpent;) {
    improved = false;
    for (const place of moves.changedPlaces(state)) {
      const back = moves.moved(state, place, moves.problem.today[place]!);
      if (back === null) continue;
      for (const other of moves.choices.changeable) {
        if (other === place || moves.changedPlaces(state).includes(other)) continue;
        const next = moves.best(back, other);
        if (next.weight < state.weight - 1e-9) {
          state = settle(moves, next, moves.changedPlaces(next));
          note(state);
          improved = true;
        }
        if (moves.effort.isSpent) return;
      }
      if (improved) break;
    }
  }
}

function shuffled(places: readonly number[], random: () => number): number[] {
  const out = [...places];
  for (let i = out.length - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [out[i], out[j]] = [out[j]!, out[i]!];
  }
  return out;
}
