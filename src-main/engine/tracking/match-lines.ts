import { bestAssignment, type AssignmentEdge } from './assignment.ts';
import type { GroupMove } from './family-support.ts';
import { groupMoves } from './group-moves.ts';
import type { MoveSettings } from './move-candidates.ts';
import { ordered, pairSigmaHz, type OrderedLines } from './ordered-lines.ts';
import type { LineSet } from './line-set.ts';
import { lowerBound } from '../numeric/lower-bound.ts';

export interface Matching {
  /** For each line of `a` the line of `b` that it is, −1 where none; and the other way round. */
  readonly ofA: Int32Array;
  readonly ofB: Int32Array;
  /** Movement of each group of `a` towards `b` and of each group of `b` towards `a`; null where nothing supports one. */
  readonly movesA: readonly (GroupMove | null)[];
  readonly movesB: readonly (GroupMove | null)[];
}

/** What leaving two lines alone costs, in half squared standard deviations: a pair farther apart than about 4σ is not made. */
const ALONE = 12;
/** Handicaps of a pair, same scale: no identity in common, two names that disagree, a line that did not move with its group. */
const NO_IDENTITY = 3;
const NAMES_DISAGREE = 6;
const DID_NOT_MOVE_ALONG = 4;

/**
 * Finds which line of one set is which of another: source and harmonic first, then frequency, best one-to-one assignment.
 *
 * 1. For every group of either set its movement is decided by all its lines together (groupMoves).
 * 2. Each line may be any line of the other set near the place where its group's movement puts it, at a cost of half the squared
 *    distance in standard deviations, less for the same source and harmonic, more where the names disagree. It may also be one near
 *    its own frequency, at a handicap, because a line can have been given to the wrong group.
 * 3. The pairs with the largest gain over staying alone are taken (bestAssignment).
 * Exchanging the sets exchanges the answer.
 */
export function matchLines(
  a: LineSet,
  b: LineSet,
  largestMoveOf: (name: string | null) => number,
  settings: MoveSettings,
): Matching {
  const orderedA = ordered(a);
  const orderedB = ordered(b);
  const movesA = groupMoves(orderedA, orderedB, largestMoveOf, settings);
  const movesB = groupMoves(orderedB, orderedA, largestMoveOf, settings);
  // In order of frequency, so that the order of the lists decides nothing.
  const rankA = ranks(orderedA.order);
  const rankB = ranks(orderedB.order);
  const best = new Map<number, number>();
  const offer = (i: number, j: number, gain: number) => {
    const key = rankA[i]! * b.count + rankB[j]!;
    if (gain > (best.get(key) ?? 0)) best.set(key, gain);
  };
  offerAll(orderedA, orderedB, movesA, settings, offer);
  offerAll(orderedB, orderedA, movesB, settings, (j, i, gain) => offer(i, j, gain));

  const edges = Array.from(Float64Array.from(best.keys()).sort(), (key): AssignmentEdge => {
    const row = Math.floor(key / b.count);
    return { row, column: key - row * b.count, gain: best.get(key)! };
  });
  const columnOfRow = bestAssignment(a.count, b.count, edges);
  const ofA = new Int32Array(a.count).fill(-1);
  const ofB = new Int32Array(b.count).fill(-1);
  columnOfRow.forEach((column, row) => {
    if (column < 0) return;
    const i = orderedA.order[row]!;
    const j = orderedB.order[column]!;
    ofA[i] = j;
    ofB[j] = i;
  });
  return { ofA, ofB, movesA, movesB };
}

function ranks(order: Int32Array): Int32Array {
  const rank = new Int32Array(order.length);
  order.forEach((line, position) => (rank[line] = position));
  return rank;
}

function offerAll(
  from: OrderedLines,
  to: OrderedLines,
  moves: readonly (GroupMove | null)[],
  settings: MoveSettings,
  offer: (i: number, j: number, gain: number) => void,
): void {
  const a = from.lines;
  for (let i = 0; i < a.count; i++) {
    const at = a.frequencyHz[i]!;
    // A shared line may have gone with any of those that share it.
    let stays = false;
    let known = false;
    for (const owner of a.owners[i]!) {
      const move = moves[owner]!;
      if (move === null) continue;
      known = true;
      const relative = Math.hypot(move.ratioSigma / move.ratio, settings.stableMove);
      offerNear(from, to, i, at * move.ratio, relative, 0, offer);
      if (Math.abs(move.ratio - 1) <= 3 * Math.hypot(move.ratioSigma, settings.stableMove)) stays = true;
    }
    offerNear(from, to, i, at, settings.stableMove, known && !stays ? DID_NOT_MOVE_ALONG : 0, offer);
  }
}

function offerNear(
  from: OrderedLines,
  to: OrderedLines,
  i: number,
  targetHz: number,
  relativeSigma: number,
  handicap: number,
  offer: (i: number, j: number, gain: number) => void,
): void {
  const a = from.lines;
  const b = to.lines;
  // The widest line of the other set decides how far to look; humps are few.
  const reach = 5 * (a.sigmaHz[i]! + a.resolutionHz[i]! + relativeSigma * targetHz) + 2 * to.widestHz;
  const { sortedHz, order } = to;
  const endHz = targetHz + reach;
  for (let k = lowerBound(sortedHz, targetHz - reach); k < sortedHz.length && sortedHz[k]! < endHz; k++) {
    const j = order[k]!;
    const sigma = pairSigmaHz(a, i, b, j, targetHz, relativeSigma);
    const squared = ((sortedHz[k]! - targetHz) / sigma) ** 2;
    if (squared > 2 * ALONE) continue;
    // Levels break ties only: what they do is what is being asked.
    const level = Math.min(1.5, Math.abs(a.levelDb[i]! - b.levelDb[j]!) / 10);
    const gain = ALONE - squared / 2 - identityHandicap(a, i, b, j) - level - handicap;
    if (gain > 0) offer(i, j, gain);
  }
}

function identityHandicap(a: LineSet, i: number, b: LineSet, j: number): number {
  const nameA = a.groups[a.group[i]!]?.name ?? null;
  const nameB = b.groups[b.group[j]!]?.name ?? null;
  if (nameA === null || nameB === null) return NO_IDENTITY;
  return nameA === nameB && a.harmonic[i] === b.harmonic[j] ? 0 : NAMES_DISAGREE;
}
