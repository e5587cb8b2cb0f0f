import type { LineGroup } from './line-set.ts';
import { nearestOrdered, pairSigmaHz, type OrderedLines } from './ordered-lines.ts';
import type { MoveScratch } from './move-scratch.ts';
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
  scratch: MoveScratch,
): MoveCandidate[] {
  const group = from.lines.groups[g]!;
  const candidates: MoveCandidate[] = [{ ratio: 1, sigma: settings.stableMove, otherGroup: -1, handicap: 0 }];
  to.lines.groups.forEach((other, o) => {
    const largestMove = Math.min(largestMoveOf(group.name), largestMoveOf(other.name));
    candidates.push(...linkOf(group, other, o, largestMove));
  });
  return [...candidates, ...sharedMoves(from, to, g, home, largestMoveOf, settings, scratch)];
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

/** At most so many movements that lines share are worth judging. */
const SHARED_MOVES = 3;

/** Movements that at least three lines of the group share, best first, at most three. */
function sharedMoves(
  from: OrderedLines,
  to: OrderedLines,
  g: number,
  home: Int32Array,
  largestMoveOf: (name: string | null) => number,
  settings: MoveSettings,
  scratch: MoveScratch,
): MoveCandidate[] {
  const group = from.lines.groups[g]!;
  const largestMove = largestMoveOf(group.name);
  if (group.members.length < 3 || largestMove <= 4 * settings.stableMove) return [];
  const votes = votesOf(from, to, g, home, largestMoveOf, scratch);
  const { ratio: ratios, sigma: sigmas, member: memberOf, count } = votes;
  // weights summed once, so that each window costs two differences; moments about 1, where all ratios lie
  const { sums, moments } = scratch.sums(count + 1);
  sums[0] = 0;
  moments[0] = 0;
  for (let v = 0; v < count; v++) {
    const weight = sigmas[v]! ** -2;
    sums[v + 1] = sums[v]! + weight;
    moments[v + 1] = moments[v]! + (ratios[v]! - 1) * weight;
  }
  const best: { ratio: number; total: number; lines: number }[] = [];
  const votesIn = new Int32Array(group.members.length);
  let lines = 0;
  let low = 0;
  for (let high = 0; high < count; high++) {
    if (votesIn[memberOf[high]!]!++ === 0) lines++;
    while (ratios[high]! - ratios[low]! > 3 * Math.max(sigmas[high]!, sigmas[low]!)) {
      if (--votesIn[memberOf[low]!]! === 0) lines--;
      low++;
    }
    if (lines < 3) continue;
    const total = sums[high + 1]! - sums[low]!;
    const ratio = 1 + (moments[high + 1]! - moments[low]!) / total;
    // more lines first, then the smaller movement, then the one found first
    let place = best.length;
    while (
      place > 0 &&
      (best[place - 1]!.lines < lines ||
        (best[place - 1]!.lines === lines && Math.abs(best[place - 1]!.ratio - 1) > Math.abs(ratio - 1)))
    )
      place--;
    if (place >= SHARED_MOVES) continue;
    best.splice(place, 0, { ratio, total, lines });
    if (best.length > SHARED_MOVES) best.pop();
  }
  return best.map(({ ratio, total }) => {
    // What it costs to have looked at every ratio that can be told apart.
    const width = Math.max(Math.abs(ratio - 1), 1e-4);
    const handicap = Math.log(1 + width * Math.sqrt(total));
    return { ratio, sigma: 1 / Math.sqrt(total), otherGroup: -1, handicap };
  });
}

/** Every ratio that takes a line of the group to a line of the other side within reach, in ascending order. */
interface Votes {
  readonly ratio: Float64Array;
  readonly sigma: Float64Array;
  /** Which of the group's members it takes. */
  readonly member: Int32Array;
}

function votesOf(
  from: OrderedLines,
  to: OrderedLines,
  g: number,
  home: Int32Array,
  largestMoveOf: (name: string | null) => number,
  scratch: MoveScratch,
): Votes & { readonly count: number } {
  const { frequencyHz, groups } = from.lines;
  const { members, name } = groups[g]!;
  const { sortedHz, order, lines: b } = to;
  const { group } = b;
  const largestMove = largestMoveOf(name);
  const moveOfGroup = Float64Array.from(b.groups, (other) => largestMoveOf(other.name));
  const moveOfNobody = largestMoveOf(null);
  const firsts = new Int32Array(members.length);
  const ends = new Int32Array(members.length);
  let most = 0;
  for (let m = 0; m < members.length; m++) {
    const at = frequencyHz[members[m]!]!;
    const endHz = at * (1 + largestMove);
    let k = lowerBound(sortedHz, at * (1 - largestMove));
    firsts[m] = k;
    while (k < sortedHz.length && sortedHz[k]! < endHz) k++;
    ends[m] = k;
    most += k - firsts[m]!;
  }
  const [votes, spare] = scratch.votes(most);
  const { ratio: ratios, sigma: sigmas, member: memberOf } = votes;
  const runs = [0];
  let count = 0;
  for (let m = 0; m < members.length; m++) {
    const i = members[m]!;
    const at = frequencyHz[i]!;
    const end = ends[m]!;
    for (let k = firsts[m]!; k < end; k++) {
      const j = order[k]!;
      if (home[j] !== NOBODY && home[j] !== g) continue;
      const ratio = sortedHz[k]! / at;
      const other = group[j]!;
      if (Math.abs(ratio - 1) > (other < 0 ? moveOfNobody : moveOfGroup[other]!)) continue;
      ratios[count] = ratio;
      sigmas[count] = pairSigmaHz(from.lines, i, b, j, at, 0) / at;
      memberOf[count] = m;
      count++;
    }
    if (count > runs.at(-1)!) runs.push(count);
  }
  return { ...mergedRuns(votes, spare, runs), count };
}

/** Each member's votes ascend already, so they are merged pair by pair rather than sorted; of equal ones the earlier member is first. */
function mergedRuns(votes: Votes, spare: Votes, bounds: readonly number[]): Votes {
  let [source, target] = [votes, spare];
  for (let runs = bounds; runs.length > 2;) {
    const next = [0];
    for (let r = 0; r + 1 < runs.length; r += 2) {
      mergeTwo(source, target, runs[r]!, runs[r + 1]!, runs[r + 2] ?? runs[r + 1]!);
      next.push(runs[r + 2] ?? runs[r + 1]!);
    }
    [source, target] = [target, source];
    runs = next;
  }
  return source;
}

function mergeTwo(source: Votes, target: Votes, start: number, middle: number, end: number): void {
  const { ratio, sigma, member } = source;
  const { ratio: ratioOut, sigma: sigmaOut, member: memberOut } = target;
  let left = start;
  let right = middle;
  for (let v = start; v < end; v++) {
    const take = left < middle && (right >= end || ratio[left]! <= ratio[right]!) ? left++ : right++;
    ratioOut[v] = ratio[take]!;
    sigmaOut[v] = sigma[take]!;
    memberOut[v] = member[take]!;
  }
}
