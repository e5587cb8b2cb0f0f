import type { LineSet } from './line-set.ts';
import { NOBODY, type MoveCandidate, type MoveSettings } from './move-candidates.ts';
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

/** A line of a family and the line of the other side that lies where the movement puts it. */
interface Hit {
  readonly line: number;
  readonly other: number;
  /** −ln(probability that some line lies there by accident), with what the names say. */
  readonly weight: number;
}

/**
 * How well the lines of group `g` support a movement, as a logarithm of odds against accident, and the movement fitted to them.
 *
 * Each line that has an image counts −ln(probability that some line lies there by accident), so a dense spectrum proves little; more
 * with the same source and harmonic, little where the names differ or the image stayed at home with another group. Lines that should be
 * seen there and are not count against it; so do changes in level that differ within the family or are large as a whole.
 * Null where no line supports it, or where more than a third of those that should be seen are missing from a movement: every second or
 * third line of a comb may fall on another comb throughout.
 */
export function familySupport(
  a: LineSet,
  to: OrderedLines,
  g: number,
  home: Int32Array,
  candidate: MoveCandidate,
  settings: MoveSettings,
): FamilySupport | null {
  const b = to.lines;
  const group = a.groups[g]!;
  const { hits, missing } = imagesOf(a, to, g, home, candidate, settings);
  if (hits.length === 0) return null;

  const changes = hits.map(({ line, other }) => b.levelDb[other]! - a.levelDb[line]!);
  const change = median(changes);
  let missed = missing.filter((i) => a.levelDb[i]! + change > b.seenFromDb(a.frequencyHz[i]! * candidate.ratio)).length;
  // Where most of its images belong to one family over there, that family must have come from here as a whole.
  const images = new Set(hits.map(({ other }) => other));
  for (const h of new Set(hits.map(({ other }) => b.group[other]!))) {
    const share = hits.filter(({ other }) => b.group[other]! === h).length;
    if (h < 0 || 2 * share < hits.length || (group.name !== null && b.groups[h]!.name === group.name)) continue;
    missed += b.groups[h]!.members.filter(
      (j) => !images.has(j) && b.levelDb[j]! - change > a.seenFromDb(b.frequencyHz[j]! / candidate.ratio),
    ).length;
  }
  if (candidate.ratio !== 1 && 2 * missed > hits.length) return null;

  let score = -MISSING_LINE * missed;
  for (const { weight } of hits) score += weight;
  for (const value of changes) score -= Math.min(2, 0.5 * ((value - change) / LIKE_CHANGE_DB) ** 2);
  if (candidate.ratio !== 1) score -= (change / UNLIKELY_CHANGE_DB) ** 2;
  return {
    score: score - candidate.handicap,
    images: [...images],
    move: fittedMove(a, b, g, hits, candidate, settings),
  };
}

function imagesOf(
  a: LineSet,
  to: OrderedLines,
  g: number,
  home: Int32Array,
  candidate: MoveCandidate,
  settings: MoveSettings,
): { hits: Hit[]; missing: number[] } {
  const b = to.lines;
  const { name, members } = a.groups[g]!;
  const relative = Math.hypot(candidate.sigma / candidate.ratio, settings.stableMove);
  const hits: Hit[] = [];
  const missing: number[] = [];
  for (const i of members) {
    const target = a.frequencyHz[i]! * candidate.ratio;
    const k = nearestOrdered(to.sortedHz, target);
    const j = k < 0 ? -1 : to.order[k]!;
    const sigma = j < 0 ? 0 : pairSigmaHz(a, i, b, j, target, relative);
    const distance = j < 0 ? Infinity : Math.abs(to.sortedHz[k]! - target);
    if (distance > 3 * sigma) {
      missing.push(i);
      continue;
    }
    const expectedByChance = 2 * Math.max(distance, sigma) * densityAround(to.sortedHz, k);
    let weight = -Math.log(Math.min(1, expectedByChance));
    const otherName = b.groups[b.group[j]!]?.name ?? null;
    const sameSource = name !== null && otherName === name;
    if (sameSource && b.harmonic[j] === a.harmonic[i]) weight += SAME_HARMONIC;
    if (otherName !== null && name !== null && otherName !== name) weight *= OTHER_NAME;
    if (!sameSource && home[j] !== NOBODY && home[j] !== g) weight *= STAYED_AT_HOME;
    hits.push({ line: i, other: j, weight });
  }
  return { hits, missing };
}

/** Weighted mean of the ratios of the lines that were hit. */
function fittedMove(
  a: LineSet,
  b: LineSet,
  g: number,
  hits: readonly Hit[],
  candidate: MoveCandidate,
  settings: MoveSettings,
): GroupMove {
  const { name } = a.groups[g]!;
  let weights = 0;
  let sum = 0;
  let { otherGroup } = candidate;
  for (const { line, other } of hits) {
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
    support: hits.length,
  };
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
