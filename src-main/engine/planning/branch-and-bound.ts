import { addBits, weighBits } from '../numeric/bitset.ts';
import { LowestFirst } from '../numeric/heap.ts';
import { addedWeight, sameChoice, type Assignment, type Choice, type Option } from './plan-problem.ts';
import type { Moves, SearchState } from './search-state.ts';
import { sharedWeightBound } from './shared-weight-bound.ts';

export interface Proof {
  /** The best state known: the one given, or a better one found on the way. */
  readonly best: SearchState;
  /** No assignment with at most so many changes weighs less. */
  readonly lowerBound: number;
}

interface Node {
  readonly assignment: Assignment;
  /** Places of the changeable sources that are set; the others are still open. */
  readonly set: readonly number[];
  readonly changes: number;
  /** Null until the node is looked at closely. */
  readonly next: number | null;
}

const ROUNDS = 300;

/**
 * Proves how good the best state is, or finds the better one: the part of the choices with the lowest bound is looked at next.
 *
 * Bound of a part: the weight of what is set, plus the larger of
 *   (a) the most that a single open source must add at least, and
 *   (b) Σ over the open sources of what each must pay at its own prices (see shared-weight-bound.ts).
 * A source that may be clocked by a source that is still open is left out of both: that only lowers the bound.
 *
 * @param mostChanges how many sources may differ from today
 */
export function branchAndBound(moves: Moves, from: SearchState, mostChanges: number): Proof {
  const { problem, choices, effort } = moves;
  const { grid, today } = problem;
  const { changeable } = choices;
  const nothing = new Uint32Array(grid.words);
  const movable = new Set(changeable);
  const start = moves.stateOf(today);
  const independent = changeable.filter((place) => isSettled(place, today, new Set()));
  const prices = pricesOf();
  let best = from;
  const queue = new LowestFirst<Node>();
  queue.push(prices.rootBound, { assignment: today, set: [], changes: 0, next: null });

  while (queue.size > 0 && queue.lowestKey < best.weight - 1e-9 && !effort.isSpent) {
    const key = queue.lowestKey;
    const node = queue.pop()!;
    if (node.next === null) lookAt(node, key);
    else branch(node, node.next, key);
  }
  return { best, lowerBound: Math.min(queue.lowestKey, best.weight) };

  /** True where all that may clock this source is set or cannot change. */
  function isSettled(place: number, assignment: Assignment, set: ReadonlySet<number>): boolean {
    const clocks = [...choices.masters[place]!];
    const choice = today[place]!;
    if (choice.kind === 'locked') clocks.push(choice.to);
    return clocks.every((clock) => {
      for (let at: number | null = clock; at !== null;) {
        if (movable.has(at) && !set.has(at)) return false;
        const of: Choice = assignment[at]!;
        at = of.kind === 'locked' ? of.to : null;
      }
      return true;
    });
  }

  /** What is lost whatever the open sources choose. Sources that follow an open one count once it is set. */
  function lostTo(node: Node): Uint32Array {
    const set = new Set(node.set);
    const bits = new Uint32Array(grid.words);
    for (const [place, choice] of node.assignment.entries()) {
      if (movable.has(place) && !set.has(place)) continue;
      if (choice.kind === 'locked' && !isFixed(choice.to, node.assignment, set)) continue;
      addBits(bits, problem.option(place, choice, node.assignment).bits);
    }
    effort.spend(grid.words * node.assignment.length);
    return bits;
  }

  function isFixed(place: number, assignment: Assignment, set: ReadonlySet<number>): boolean {
    for (let at: number | null = place; at !== null;) {
      if (movable.has(at) && !set.has(at)) return false;
      const of: Choice = assignment[at]!;
      at = of.kind === 'locked' ? of.to : null;
    }
    return true;
  }

  function allowed(place: number, node: Node) {
    const options = moves.optionsOf(place, node.assignment);
    return node.changes >= mostChanges ? options.slice(0, 1) : options;
  }

  function pricesOf() {
    const root: Node = { assignment: today, set: [], changes: 0, next: null };
    const lost = lostTo(root);
    const base = weighBits(lost, nothing, grid.weightOfWord);
    const columns = new Map<number, Float64Array>();
    if (mostChanges === 0) return { rootBound: start.weight, columns };
    const { bound, prices } = sharedWeightBound(
      independent.map((place) => allowed(place, root)),
      lost,
      grid,
      independent.length < 2 ? 1 : ROUNDS,
      effort,
    );
    independent.forEach((place, i) => columns.set(place, prices[i]!));
    return { rootBound: base + bound, columns };
  }

  function lookAt(node: Node, key: number): void {
    const open = changeable.filter((place) => !node.set.includes(place));
    if (open.length === 0) {
      const state = moves.stateOf(node.assignment);
      if (state.weight < best.weight - 1e-9 && moves.keepsRanges(state)) best = state;
      return;
    }
    const set = new Set(node.set);
    const lost = lostTo(node);
    const base = weighBits(lost, nothing, grid.weightOfWord);
    let [most, next, shared] = [-1, -1, 0];
    for (const place of open) {
      if (!isSettled(place, node.assignment, set)) continue;
      let [least, leastPaid] = [Infinity, Infinity];
      const column = prices.columns.get(place);
      for (const option of allowed(place, node)) {
        least = Math.min(least, addedWeight(option, lost, grid));
        if (column !== undefined && leastPaid > 0)
          leastPaid = Math.min(leastPaid, paid(option, lost, column, leastPaid));
      }
      effort.spend(2 * grid.words * moves.optionsOf(place, node.assignment).length);
      if (least > most) [most, next] = [least, place];
      if (column !== undefined) shared += leastPaid;
    }
    const bound = Math.max(key, base + Math.max(most, shared * (1 - 1e-9)));
    if (bound < best.weight - 1e-9) queue.push(bound, { ...node, next });
  }

  function branch(node: Node, place: number, key: number): void {
    const lost = lostTo(node);
    const base = weighBits(lost, nothing, grid.weightOfWord);
    const isLast = node.set.length + 1 === changeable.length;
    for (const option of allowed(place, node)) {
      const isChange = !sameChoice(option.choice, today[place]!);
      const bound = Math.max(key, base + addedWeight(option, lost, grid));
      if (bound >= best.weight - 1e-9) continue;
      const child: Node = {
        assignment: node.assignment.with(place, option.choice),
        set: [...node.set, place],
        changes: node.changes + (isChange ? 1 : 0),
        next: null,
      };
      if (isLast) lookAt(child, bound);
      else queue.push(bound, child);
    }
    effort.spend(grid.words * moves.optionsOf(place, node.assignment).length);
  }
}

/** Σ price of an option's channels that are not lost yet; anything from `enough` on once that is reached. */
function paid({ bits, used }: Option, lost: Uint32Array, prices: Float64Array, enough: number): number {
  let sum = 0;
  for (let j = 0; j < used.length && sum < enough; j++) {
    const word = used[j]!;
    for (let rest = bits[word]! & ~lost[word]!; rest !== 0; rest &= rest - 1)
      sum += prices[word * 32 + 31 - Math.clz32(rest & -rest)]!;
  }
  return sum;
}
