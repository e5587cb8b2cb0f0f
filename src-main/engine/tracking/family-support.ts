import type { LineSet } from './line-set.ts';
import { NOBODY, type MoveCandidate, type MoveSettings } from './move-candidates.ts';
import { ANOTHER_NAME, SAME_NAME, UNNAMED, type MoveScratch } from './move-scratch.ts';
import { nearestOrdered, pairSigmaHz, type OrderedLines } from './ordered-lines.ts';

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

/** What a line that should be seen and is not counts against a movement, as a logarithm of odds; a choice of this tool. */
const MISSING_LINE = 3;

/** How far apart, one standard deviation, the changes of one family's lines lie, and a change that is unlikely at all; choices of this tool. */
const LIKE_CHANGE_DB = 6;
const UNLIKELY_CHANGE_DB = 10;

/** What names do to the weight of one line, as added log odds or as a factor; choices of this tool. */
const SAME_HARMONIC = 1;
const OTHER_NAME = 0.3;
/** A line that another group has at the same place on both sides stayed there and is hardly the image of one that moved. */
const STAYED_AT_HOME = 0.1;

/** A movement with what speaks for it. */
export interface FamilySupport {
  /** Logarithm of odds against accident, what the movement costs to believe taken off. */
  readonly score: number;
  readonly move: GroupMove;
  /** Lines of the other side that the family's lines are. */
  readonly images: readonly number[];
}

/** Lines of a family with the lines of the other side that lie where the movement puts them, in parallel. */
interface Hits {
  readonly count: number;
  readonly line: Int32Array;
  readonly other: Int32Array;
  /** −ln(probability that some line lies there by accident), with what the names say. */
  readonly weight: Float64Array;
  /** Lines of the family without an image, the first `missed` of the column. */
  readonly missing: Int32Array;
  readonly missed: number;
}

/**
 * How well the lines of group `g` support a movement, as a logarithm of odds against accident, and the movement fitted to them.
 *
 * Each line that has an image counts −ln(probability that some line lies there by accident), so a dense spectrum proves little; more
 * with the same source and harmonic, little where the names differ or the image stayed at home with another group. Lines that should be
 * seen there and are not count against it; so do changes in level that differ within the family or are large as a whole.
 * Null where the odds are not above `above`, where no line supports it, or where more than a third of those that should be seen are
 * missing from a movement: every second or third line of a comb may fall on another comb throughout.
 */
export function familySupport(
  a: LineSet,
  to: OrderedLines,
  g: number,
  home: Int32Array,
  candidate: MoveCandidate,
  settings: MoveSettings,
  above: number,
  scratch: MoveScratch,
): FamilySupport | null {
  const b = to.lines;
  const { name } = a.groups[g]!;
  const hits = imagesOf(a, to, g, home, candidate, settings, scratch);
  const { count, line, other, weight, missing } = hits;
  if (count === 0) return null;

  const change = medianChange(a, b, hits, scratch.change);
  let missed = 0;
  for (let n = 0; n < hits.missed; n++) {
    const i = missing[n]!;
    if (a.levelDb[i]! + change > b.seenFromDb(a.frequencyHz[i]! * candidate.ratio)) missed++;
  }
  // Where most of its images belong to one family over there, that family must have come from here as a whole.
  const { imageIn } = scratch;
  const thisTry = ++scratch.tries;
  for (let n = 0; n < count; n++) imageIn[other[n]!] = thisTry;
  for (let h = 0; h < b.groups.length; h++) {
    if (name !== null && b.groups[h]!.name === name) continue;
    let share = 0;
    for (let n = 0; n < count; n++) if (b.group[other[n]!] === h) share++;
    if (2 * share < count) continue;
    for (const j of b.groups[h]!.members)
      if (imageIn[j] !== thisTry && b.levelDb[j]! - change > a.seenFromDb(b.frequencyHz[j]! / candidate.ratio))
        missed++;
  }
  if (candidate.ratio !== 1 && 2 * missed > count) return null;

  let score = -MISSING_LINE * missed;
  for (let n = 0; n < count; n++) score += weight[n]!;
  for (let n = 0; n < count; n++) {
    const value = b.levelDb[other[n]!]! - a.levelDb[line[n]!]!;
    score -= Math.min(2, 0.5 * ((value - change) / LIKE_CHANGE_DB) ** 2);
  }
  if (candidate.ratio !== 1) score -= (change / UNLIKELY_CHANGE_DB) ** 2;
  score -= candidate.handicap;
  if (score <= above) return null;
  return {
    score,
    images: [...new Set(other.subarray(0, count))],
    move: fittedMove(a, b, g, hits, candidate, settings),
  };
}

/** The middle change in level, the upper of the two middle ones; sorted by insertion, as families are small and this is asked very often. */
function medianChange(a: LineSet, b: LineSet, { line, other, count }: Hits, sorted: Float64Array): number {
  for (let n = 0; n < count; n++) {
    const change = b.levelDb[other[n]!]! - a.levelDb[line[n]!]!;
    let place = n;
    for (; place > 0 && sorted[place - 1]! > change; place--) sorted[place] = sorted[place - 1]!;
    sorted[place] = change;
  }
  return sorted[count >> 1]!;
}

function imagesOf(
  a: LineSet,
  to: OrderedLines,
  g: number,
  home: Int32Array,
  candidate: MoveCandidate,
  settings: MoveSettings,
  { line, other, weight: weights, missing, naming }: MoveScratch,
): Hits {
  const b = to.lines;
  const { sortedHz, order } = to;
  const { members } = a.groups[g]!;
  const relative = Math.hypot(candidate.sigma / candidate.ratio, settings.stableMove);
  let count = 0;
  let missed = 0;
  for (const i of members) {
    const target = a.frequencyHz[i]! * candidate.ratio;
    const k = nearestOrdered(sortedHz, target);
    const j = k < 0 ? -1 : order[k]!;
    const sigma = j < 0 ? 0 : pairSigmaHz(a, i, b, j, target, relative);
    const distance = j < 0 ? Infinity : Math.abs(sortedHz[k]! - target);
    if (distance > 3 * sigma) {
      missing[missed++] = i;
      continue;
    }
    const expectedByChance = 2 * Math.max(distance, sigma) * densityAround(sortedHz, k);
    let weight = -Math.log(Math.min(1, expectedByChance));
    const otherGroup = b.group[j]!;
    const named = otherGroup < 0 ? UNNAMED : naming[otherGroup]!;
    if (named === SAME_NAME && b.harmonic[j] === a.harmonic[i]) weight += SAME_HARMONIC;
    if (named === ANOTHER_NAME) weight *= OTHER_NAME;
    if (named !== SAME_NAME && home[j] !== NOBODY && home[j] !== g) weight *= STAYED_AT_HOME;
    line[count] = i;
    other[count] = j;
    weights[count++] = weight;
  }
  return { count, line, other, weight: weights, missing, missed };
}

/** Weighted mean of the ratios of the lines that were hit. */
function fittedMove(
  a: LineSet,
  b: LineSet,
  g: number,
  hits: Hits,
  candidate: MoveCandidate,
  settings: MoveSettings,
): GroupMove {
  const { name } = a.groups[g]!;
  let weights = 0;
  let sum = 0;
  let { otherGroup } = candidate;
  for (let n = 0; n < hits.count; n++) {
    const [line, other] = [hits.line[n]!, hits.other[n]!];
    const at = a.frequencyHz[line]!;
    const weight = (pairSigmaHz(a, line, b, other, at, 0) / at) ** -2;
    weights += weight;
    sum += weight * (b.frequencyHz[other]! / at);
    const h = b.group[other]!;
    if (otherGroup < 0 && name !== null && h >= 0 && b.groups[h]!.name === name) otherGroup = h;
  }
  return {
    ratio: sum / weights,
    ratioSigma: Math.max(1 / Math.sqrt(weights), settings.stableMove),
    otherGroup,
    support: hits.count,
  };
}

/** Lines per hertz around a position: eight neighbours either side; a single line counts as alone in its own frequency. */
function densityAround(sorted: Float64Array, k: number): number {
  const low = Math.max(0, k - 8);
  const high = Math.min(sorted.length - 1, k + 8);
  const width = sorted[high]! - sorted[low]!;
  return width > 0 ? (high - low) / width : 1 / sorted[k]!;
}
