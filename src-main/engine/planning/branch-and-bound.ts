import { LowestFirst } from '../numeric/heap.ts';
import { Parts, type Part } from './branch-parts.ts';
import type { Moves, SearchState } from './search-state.ts';

export interface Proof {
  /** The best state known: the one given, or a better one found on the way. */
  readonly best: SearchState;
  /** No assignment with at most so many changes weighs less. */
  readonly lowerBound: number;
}

/** So much of the effort at most goes to whether anything at all is better. A choice of this tool. */
const EXACTLY = 1 / 3;

/**
 * Proves how good the best state is, or finds the better one: the part of the choices with the lowest bound is looked at next.
 *
 * A part is looked at cheaply first, with the prices of the part it comes from; then closely, with prices of its own, which also strike out
 * choices that no better plan can have, as often as that helps; then it is split by the choices of one more source (see branch-parts.ts).
 * Clocks are set before the sources that they may clock, so that each setting of a clock is a smaller problem of its own.
 *
 * @param mostChanges how many sources may differ from today
 * @param nearness first it is proven that nothing is better by more than this share of the best weight, which strikes out more; then, with
 *   what effort is left, that nothing is better at all
 */
export function branchAndBound(moves: Moves, from: SearchState, mostChanges: number, nearness = 0): Proof {
  if (mostChanges === 0) return { best: from, lowerBound: from.weight };
  // two plans whose weights differ at all differ by a unit
  const unit = unitOf(moves.problem.grid.weightOfWord);
  const slack = unit > 0 ? unit * (1 - 1e-6) : 1e-9;
  const parts = new Parts(moves, from, mostChanges, slack);
  let lowerBound = 0;
  for (const near of nearness > 0 ? [nearness, 0] : [0]) {
    const { lowestKey, isDone } = runDown(parts, moves, near);
    const bound = isDone ? (near > 0 ? parts.enough : parts.best.weight) : lowestKey;
    lowerBound = Math.max(lowerBound, unit > 0 ? Math.ceil(bound / unit - 1e-6) * unit : bound);
  }
  return { best: parts.best, lowerBound: Math.min(lowerBound, parts.best.weight) };
}

function runDown(parts: Parts, { effort }: Moves, nearness: number): { lowestKey: number; isDone: boolean } {
  parts.begin(nearness);
  const mostShare = nearness > 0 ? 1 : effort.share + EXACTLY;
  const queue = new LowestFirst<Part>();
  queue.push(0, parts.whole());
  while (queue.size > 0 && queue.lowestKey < parts.enough && !effort.isSpent && effort.share <= mostShare) {
    const key = queue.lowestKey;
    const part = queue.pop()!;
    const next = part.step === 'new' ? parts.look(part, key) : part.step === 'seen' ? parts.price(part, key) : null;
    if (next !== null) queue.push(next.bound, next.part);
    else if (part.step === 'priced') for (const child of parts.split(part, key)) queue.push(child.bound, child.part);
  }
  return { lowestKey: queue.lowestKey, isDone: queue.lowestKey >= parts.enough };
}

/** The largest weight of which all weights are whole multiples, where they are whole numbers; else 0. */
function unitOf(weights: Float64Array): number {
  let unit = 0;
  for (const weight of new Set(weights)) {
    if (!Number.isSafeInteger(weight)) return 0;
    for (let rest = weight; rest !== 0;) [unit, rest] = [rest, unit % rest];
  }
  return unit;
}
