import type { LineGroup, LineSet } from './line-set.ts';
import { firstAtOrAbove } from './side-trace.ts';

/** By how much a group of lines moved from one side to the other. */
export interface GroupMove {
  /** Frequency on the other side over frequency on this one. */
  readonly ratio: number;
  readonly ratioSigma: number;
  /** The group of the other side that it is, −1 where that side has no such group. */
  readonly otherGroup: number;
  /** How many lines support it. */
  readonly support: number;
}

export interface MoveSettings {
  /** Movement every line may have made, one standard deviation, relative. */
  readonly stableMove: number;
}

/** A line set with its lines in order of frequency. */
export interface OrderedLines {
  readonly lines: LineSet;
  /** Line numbers, ascending in frequency, and their frequencies. */
  readonly order: Int32Array;
  readonly sortedHz: Float64Array;
  /** Largest half width, doubt included, of any line of the set. */
  readonly widestHz: number;
}

export function ordered(lines: LineSet): OrderedLines {
  const order = Int32Array.from({ length: lines.count }, (_, i) => i).sort(
    (a, b) => lines.frequencyHz[a]! - lines.frequencyHz[b]! || a - b,
  );
  let widestHz = 0;
  for (let i = 0; i < lines.count; i++) widestHz = Math.max(widestHz, lines.sigmaHz[i]! + 0.5 * lines.resolutionHz[i]!);
  return { lines, order, sortedHz: Float64Array.from(order, (i) => lines.frequencyHz[i]!), widestHz };
}

/** A tenth of the resolution on top of the stated uncertainties: two captures never put a line on quite the same place. */
export const RESOLUTION_SHARE = 0.1;

/** One standard deviation of the distance between a line and its image on the other side. */
export function pairSigmaHz(
  a: LineSet,
  i: number,
  b: LineSet,
  j: number,
  targetHz: number,
  relativeSigma: number,
): number {
  // Not Math.hypot: this is the innermost loop, and hypot's care for overflow costs five times the rest.
  const own = a.sigmaHz[i]!;
  const other = b.sigmaHz[j]!;
  const shared = RESOLUTION_SHARE * Math.max(a.resolutionHz[i]!, b.resolutionHz[j]!);
  const moved = relativeSigma * targetHz;
  return Math.sqrt(own * own + other * other + shared * shared + moved * moved);
}

/** What a line that should be seen and is not counts against a movement, as a logarithm of odds; a choice of this tool. */
const MISSING_LINE = 3;

/** How far apart, one standard deviation, the changes of one family's lines lie, and a change that is unlikely at all; choices of this tool. */
const LIKE_CHANGE_DB = 6;
const UNLIKELY_CHANGE_DB = 10;

interface Candidate {
  readonly ratio: number;
  readonly sigma: number;
  readonly otherGroup: number;
  /** Natural logarithm of what it costs to believe it before looking at the lines. */
  readonly handicap: number;
}

/**
 * For each group of `a` the movement that most of its lines agree on, or null where none is better supported than chance.
 *
 * Candidates: it stayed; the fundamental that the same source has on the other side; the fundamental of a comb there that is one
 * name short and within reach; and any other movement that several lines share. Each line that has an image counts
 * −ln(probability that some line lies there by accident), so a dense spectrum proves little. A named group that has only
 * one line is believed at the same place, or where its own fundamental on the other side says.
 */
export function groupMoves(
  from: OrderedLines,
  to: OrderedLines,
  largestMoveOf: (name: string | null) => number,
  settings: MoveSettings,
): (GroupMove | null)[] {
  const home = homeGroups(from, to, settings);
  return from.lines.groups.map((group, g) => {
    if (group.members.length === 0) return null;
    const candidates: Candidate[] = [{ ratio: 1, sigma: settings.stableMove, otherGroup: -1, handicap: 0 }];
    to.lines.groups.forEach((other, o) => {
      const largestMove = Math.min(largestMoveOf(group.name), largestMoveOf(other.name));
      candidates.push(...linkOf(group, other, o, largestMove));
    });
    candidates.push(...sharedMoves(from, to, g, home, largestMoveOf, settings));
    let best: GroupMove | null = null;
    let bestScore = 0;
    for (const candidate of candidates) {
      const judged = judge(from.lines, to, g, home, candidate, settings);
      const score = judged.score - candidate.handicap;
      if (judged.move !== null && score > bestScore + 1e-9) {
        best = judged.move;
        bestScore = score;
      }
    }
    // e^-2: better than one chance in seven; a single line in a sparse spectrum reaches it, an accident among many does not.
    return bestScore > 2 ? best : null;
  });
}

/** No line of this side lies where the other side's line does. */
const NOBODY = -2;

/**
 * For each line of `to` the group (−1: none) of the line of `from` at the same place, NOBODY where there is none.
 *
 * A line that another group has at the same place on both sides stayed there: it says nothing of where this group went.
 */
function homeGroups(from: OrderedLines, to: OrderedLines, settings: MoveSettings): Int32Array {
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

function linkOf(group: LineGroup, other: LineGroup, otherGroup: number, largestMove: number): Candidate[] {
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
): Candidate[] {
  const group = from.lines.groups[g]!;
  const largestMove = largestMoveOf(group.name);
  if (group.members.length < 3 || largestMove <= 4 * settings.stableMove) return [];
  const votes: { ratio: number; sigma: number; line: number }[] = [];
  for (const i of group.members) {
    const at = from.lines.frequencyHz[i]!;
    const end = firstAtOrAbove(to.sortedHz, at * (1 + largestMove));
    for (let k = firstAtOrAbove(to.sortedHz, at * (1 - largestMove)); k < end; k++) {
      const j = to.order[k]!;
      if (home[j] !== NOBODY && home[j] !== g) continue;
      const other = to.lines.groups[to.lines.group[j]!]?.name ?? null;
      if (Math.abs(to.sortedHz[k]! / at - 1) > largestMoveOf(other)) continue;
      const sigma = pairSigmaHz(from.lines, i, to.lines, j, at, 0) / at;
      votes.push({ ratio: to.sortedHz[k]! / at, sigma, line: i });
    }
  }
  votes.sort((a, b) => a.ratio - b.ratio);
  const found: (Candidate & { lines: number })[] = [];
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
    const inside = votes.slice(low, high + 1);
    const weights = inside.map((v) => v.sigma ** -2);
    const total = weights.reduce((sum, w) => sum + w, 0);
    const ratio = inside.reduce((sum, v, k) => sum + v.ratio * weights[k]!, 0) / total;
    // What it costs to have looked at every ratio that can be told apart.
    const width = Math.max(Math.abs(ratio - 1), 1e-4);
    const handicap = Math.log(1 + width * Math.sqrt(total));
    found.push({ ratio, sigma: 1 / Math.sqrt(total), otherGroup: -1, handicap, lines: linesIn.size });
  }
  found.sort((a, b) => b.lines - a.lines || Math.abs(a.ratio - 1) - Math.abs(b.ratio - 1));
  return found.slice(0, 3);
}

function judge(
  a: LineSet,
  to: OrderedLines,
  g: number,
  home: Int32Array,
  candidate: Candidate,
  settings: MoveSettings,
): { score: number; move: GroupMove | null } {
  const b = to.lines;
  const group = a.groups[g]!;
  let score = 0;
  let support = 0;
  let weightSum = 0;
  let ratioSum = 0;
  let otherGroup = candidate.otherGroup;
  const relative = Math.hypot(candidate.sigma / candidate.ratio, settings.stableMove);
  const missing: number[] = [];
  const changes: number[] = [];
  const hits = new Set<number>();
  const hitsOfGroup = new Map<number, number>();
  for (const i of group.members) {
    const target = a.frequencyHz[i]! * candidate.ratio;
    const k = nearestOrdered(to.sortedHz, target);
    const j = k < 0 ? -1 : to.order[k]!;
    const sigma = j < 0 ? 0 : pairSigmaHz(a, i, b, j, target, relative);
    const distance = j < 0 ? Infinity : Math.abs(to.sortedHz[k]! - target);
    if (distance > 3 * sigma) {
      missing.push(i);
      continue;
    }
    changes.push(b.levelDb[j]! - a.levelDb[i]!);
    hits.add(j);
    hitsOfGroup.set(b.group[j]!, (hitsOfGroup.get(b.group[j]!) ?? 0) + 1);
    const expectedByChance = 2 * Math.max(distance, sigma) * densityAround(to.sortedHz, k);
    let weight = -Math.log(Math.min(1, expectedByChance));
    const otherName = b.groups[b.group[j]!]?.name ?? null;
    const sameSource = b.group[j]! >= 0 && otherName === group.name && group.name !== null;
    if (sameSource && b.harmonic[j] === a.harmonic[i]) weight += 1;
    if (otherName !== null && group.name !== null && otherName !== group.name) weight *= 0.3;
    if (!sameSource && home[j] !== NOBODY && home[j] !== g) weight *= 0.1;
    if (sameSource && otherGroup < 0) otherGroup = b.group[j]!;
    score += weight;
    support++;
    const w = (pairSigmaHz(a, i, b, j, target, 0) / a.frequencyHz[i]!) ** -2;
    weightSum += w;
    ratioSum += w * (to.sortedHz[k]! / a.frequencyHz[i]!);
  }
  if (support === 0) return { score: 0, move: null };
  // A family moves as one: lines that should be seen there, changed by as much as the others, and are not, speak against it.
  const change = median(changes);
  // Lines of one family change alike, and few fixes move a source and change it by tens of decibels at once.
  for (const value of changes) score -= Math.min(2, 0.5 * ((value - change) / LIKE_CHANGE_DB) ** 2);
  if (candidate.ratio !== 1) score -= (change / UNLIKELY_CHANGE_DB) ** 2;
  let missed = missing.filter((i) => a.levelDb[i]! + change > b.seenFromDb(a.frequencyHz[i]! * candidate.ratio)).length;
  // And where most of its images belong to one family over there, that family must have come from here as a whole.
  for (const [h, count] of hitsOfGroup) {
    if (h < 0 || 2 * count < support || (group.name !== null && b.groups[h]!.name === group.name)) continue;
    missed += b.groups[h]!.members.filter(
      (j) => !hits.has(j) && b.levelDb[j]! - change > a.seenFromDb(b.frequencyHz[j]! / candidate.ratio),
    ).length;
  }
  score -= MISSING_LINE * missed;
  // Every second or third line of a comb may fall on another comb throughout; that is no movement.
  if (candidate.ratio !== 1 && 2 * missed > support) return { score: 0, move: null };
  return {
    score,
    move: {
      ratio: ratioSum / weightSum,
      ratioSigma: Math.max(1 / Math.sqrt(weightSum), settings.stableMove),
      otherGroup,
      support,
    },
  };
}

/** Position of the value nearest to `target`; −1 for an empty column. */
function nearestOrdered(sorted: Float64Array, target: number): number {
  if (sorted.length === 0) return -1;
  const above = firstAtOrAbove(sorted, target);
  if (above === 0) return 0;
  if (above === sorted.length) return above - 1;
  return target - sorted[above - 1]! <= sorted[above]! - target ? above - 1 : above;
}

/** Lines per hertz around a position: eight neighbours either side; a single line counts as alone in its own frequency. */
function densityAround(sorted: Float64Array, k: number): number {
  const low = Math.max(0, k - 8);
  const high = Math.min(sorted.length - 1, k + 8);
  const width = sorted[high]! - sorted[low]!;
  return width > 0 ? (high - low) / width : 1 / sorted[k]!;
}

function median(values: readonly number[]): number {
  return [...values].sort((x, y) => x - y)[values.length >> 1]!;
}
