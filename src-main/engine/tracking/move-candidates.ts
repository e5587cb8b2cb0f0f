import type { LineGroup } from './line-set.ts';
import { nearestOrdered, pairSigmaHz, type OrderedLines } from './ordered-lines.ts';
import { lowerBound } from '../numeric/lower-bound.ts';

export interface MoveSettings {
  /** Movement every line may have made, one standard deviation, relative. */
  readonly stableMove: number;
}

/** A movement that a family may have made. */
export interface MoveCandidate {
  readonly ratio: number;
  readonly sigma: number;
  /** The group of the other side that it is, −1 where that is not said. */
  readonly otherGroup: number;
  /** Natural logarithm of what it costs to believe it before looking at the lines. */
  readonly handicap: number;
}

/**
 * Movements that are worth judging for group `g` of `from`: it stayed; the fundamental that the same source has on the other side; the
 * fundamental of a comb there that is one name short and within reach; any other movement that several of its lines share.
 */
export function moveCandidates(
  from: OrderedLines,
  to: OrderedLines,
  g: number,
  home: Int32Array,
  largestMoveOf: (name: string | null) => number,
  settings: MoveSettings,
): MoveCandidate[] {
  const group = from.lines.groups[g]!;
  const candidates: MoveCandidate[] = [{ ratio: 1, sigma: settings.stableMove, otherGroup: -1, handicap: 0 }];
  to.lines.groups.forEach((other, o) => {
    const largestMove = Math.min(largestMoveOf(group.name), largestMoveOf(other.name));
    candidates.push(...linkOf(group, other, o, largestMove));
  });
  return [...candidates, ...sharedMoves(from, to, g, home, largestMoveOf, settings)];
}

/** No line of this side lies where the other side's line does. */
export const NOBODY = -2;

/**
 * For each line of `to` the group (−1: none) of the line of `from` at the same place, NOBODY where there is none.
 *
 * A line that another group has at the same place on both sides stayed there: it says nothing of where this group went.
 */
export function homeGroups(from: OrderedLines, to: OrderedLines, settings: MoveSettings): Int32Array {
  const home = new Int32Array(to.lines.count).fill(NOBODY);
  for (let j = 0; j < to.lines.count; j++) {
    const at = to.lines.frequencyHz[j]!;
    const k = nearestOrdered(from.sortedHz, at);
    if (k < 0) continue;
    const i = from.order[k]!;
    const sigma = pairSigmaHz(from.lines, i, to.lines, j, at, settings.stableMove);
    if (Math.abs(from.sortedHz[k]! - at) <= 3 * sigma) home[j] = from.lines.group[i]!;
  }
  return home;
}

function linkOf(group: LineGroup, other: LineGroup, otherGroup: number, largestMove: number): MoveCandidate[] {
  const sameName = group.name !== null && group.name === other.name;
  if (!sameName && group.name !== null && other.name !== null) return [];
  const sigmaOf = (ratio: number) =>
    ratio * Math.hypot(group.fundamentalSigmaHz / group.fundamentalHz, other.fundamentalSigmaHz / other.fundamentalHz);
  const direct = other.fundamentalHz / group.fundamentalHz;
  if (sameName) return [{ ratio: direct, sigma: sigmaOf(direct), otherGroup, handicap: 1 }];
  // A comb that nobody named may have been found at half or twice its fundamental in one of the captures.
  return [1, 2, 3, 1 / 2, 1 / 3]
    .map((multiple) => direct * multiple)
    .filter((ratio) => Math.abs(ratio - 1) <= largestMove)
    .map((ratio) => ({ ratio, sigma: sigmaOf(ratio), otherGroup, handicap: 3 }));
}

/** Movements that at least three lines of the group share, best first, at most three. */
function sharedMoves(
  from: OrderedLines,
  to: OrderedLines,
  g: number,
  home: Int32Array,
  largestMoveOf: (name: string | null) => number,
  settings: MoveSettings,
): MoveCandidate[] {
  const group = from.lines.groups[g]!;
  const largestMove = largestMoveOf(group.name);
  if (group.members.length < 3 || largestMove <= 4 * settings.stableMove) return [];
  const votes: { ratio: number; sigma: number; line: number }[] = [];
  for (const i of group.members) {
    const at = from.lines.frequencyHz[i]!;
    const end = lowerBound(to.sortedHz, at * (1 + largestMove));
    for (let k = lowerBound(to.sortedHz, at * (1 - largestMove)); k < end; k++) {
      const j = to.order[k]!;
      if (home[j] !== NOBODY && home[j] !== g) continue;
      const other = to.lines.groups[to.lines.group[j]!]?.name ?? null;
      if (Math.abs(to.sortedHz[k]! / at - 1) > largestMoveOf(other)) continue;
      const sigma = pairSigmaHz(from.lines, i, to.lines, j, at, 0) / at;
      votes.push({ ratio: to.sortedHz[k]! / at, sigma, line: i });
    }
  }
  votes.sort((a, b) => a.ratio - b.ratio);
  // weights summed once, so that each window costs two differences; moments about 1, where all ratios lie
  const sums = new Float64Array(votes.length + 1);
  const moments = new Float64Array(votes.length + 1);
  votes.forEach(({ ratio, sigma }, v) => {
    sums[v + 1] = sums[v]! + sigma ** -2;
    moments[v + 1] = moments[v]! + (ratio - 1) * sigma ** -2;
  });
  const found: (MoveCandidate & { lines: number })[] = [];
  let low = 0;
  const linesIn = new Map<number, number>();
  for (let high = 0; high < votes.length; high++) {
    const vote = votes[high]!;
    linesIn.set(vote.line, (linesIn.get(vote.line) ?? 0) + 1);
    while (vote.ratio - votes[low]!.ratio > 3 * Math.max(vote.sigma, votes[low]!.sigma)) {
      const gone = votes[low]!.line;
      const left = linesIn.get(gone)! - 1;
      if (left === 0) linesIn.delete(gone);
      else linesIn.set(gone, left);
      low++;
    }
    if (linesIn.size < 3) continue;
    const total = sums[high + 1]! - sums[low]!;
    const ratio = 1 + (moments[high + 1]! - moments[low]!) / total;
    // What it costs to have looked at every ratio that can be told apart.
    const width = Math.max(Math.abs(ratio - 1), 1e-4);
    const handicap = Math.log(1 + width * Math.sqrt(total));
    found.push({ ratio, sigma: 1 / Math.sqrt(total), otherGroup: -1, handicap, lines: linesIn.size });
  }
  found.sort((a, b) => b.lines - a.lines || Math.abs(a.ratio - 1) - Math.abs(b.ratio - 1));
  return found.slice(0, 3);
}
