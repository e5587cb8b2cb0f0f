import type { LineExplanation } from '../../model/attribution.ts';
import type { Found } from './found.ts';
import type { FreeLines, Place } from './free-lines.ts';
import { judgeNested, type Judged } from './judge-places.ts';
import { isRaster, meanSpacing, type Member } from './raster.ts';
import { chanceText, frequencyText, offsetText } from './say-mixing.ts';
import { isHarmonic, type Subject } from './subjects.ts';

/** A registered source and where its fundamental may lie, for naming a spacing. */
export interface NamedRange {
  readonly name: string;
  readonly lowHz: number;
  readonly highHz: number;
}

export interface SidebandInput {
  readonly lines: FreeLines;
  readonly explanations: readonly LineExplanation[];
  readonly subjects: readonly Subject[];
  readonly ranges: readonly NamedRange[];
}

interface SidePlace extends Place {
  readonly carrier: number;
  readonly side: Side;
}

/** First or second sideband, above (+) or below (−). */
type Side = 1 | -1 | 2 | -2;
const SIDES = [1, -1, 2, -2] as const;

interface Spacing {
  readonly hz: number;
  readonly sigmaHz: number;
}

/** Carriers stand at least this high over the floor and over their sidebands, in dB. Choices of this tool. */
const CARRIER_OVER_FLOOR_DB = 10;
const CARRIER_OVER_SIDE_DB = 3;
/** Sidebands are looked for about so many of the strongest lines; the nested sets share the right to be found. */
const CARRIERS = [1, 3, 9, 27, 64];
/** Widest spacings looked for, in line widths, ×8 each up to a tenth of the span; these share the right as well. */
const NARROWEST_REACH = 20;
const REACH_STEP = 8;
/** About the teeth of a comb, spacings that differ by its fundamental find the same lines: of two that do nearly as well (this share of the decades) the narrower is meant. */
const AS_GOOD = 0.7;
/** Free lines that a spacing is read from; all of them count as tries. */
const ANCHORS = 120;
/** Other lines join an accepted family where lines at random would lie with less than this probability. */
const JOINS = 0.05;
/** A carrier that is a whole multiple of the spacing is a tooth of a comb of it, if the spacing is known well enough to say so. */
const TELLS_MULTIPLE = 0.1;
/** Spacings at simple fractions of a comb's fundamental are its half- or third-frequency lines. */
const SIMPLE_FRACTIONS = [2, 3, 4];

/**
 * The spacing at which free lines stand in symmetric pairs about strong lines best, against lines at random.
 *
 * A spacing is read from one free line and one carrier (all such pairs are counted as tries), or is the fundamental of a claimed comb.
 * The mirror place and the places at ± once and twice the spacing about the 1, 3, 9 … 64 strong lines nearest to that carrier (of a known
 * spacing: about the strongest) are judged together, so a spacing common to several carriers counts as more. At least one pair must be
 * complete. A lone pair passes only at a known spacing: N = 15 free lines in B = 20 MHz, windows ± w = 300 Hz, hit a place by accident
 * with p = 2wN/B = 0.0005. A spacing read from the lines has N·64 pairs to be mirrored: 64 N p = 0.4. A claimed comb's fundamental about
 * the strongest line has four places, two of them hit with 6 p² = 1e-6, and some fifty tries: 6e-5. Lattices are no sidebands: carriers
 * that are multiples of the spacing, stations on a raster, a comb's own half-frequency lines.
 *
 * @returns null where no pair stands about any carrier
 */
export function findSidebands(input: SidebandInput): Found | null {
  const { lines } = input;
  if (lines.free.length < 2) return null;
  const carriers = strongest(lines);
  const known = input.subjects.map(({ fundamentalHz, sigmaHz }): Spacing => ({ hz: fundamentalHz, sigmaHz }));
  let best: Best | null = null;
  const sizes = sizesFor(carriers.length);
  const weakestDb = weakestAnchorDb(lines);
  const mayBe = ({ carrier }: SidePlace, line: number): boolean =>
    lines.levelDb[line]! <= lines.levelDb[carrier]! - CARRIER_OVER_SIDE_DB;
  for (const [s, spacing] of known.entries())
    for (const judged of judgeNested(
      lines,
      placesAbout(input, carriers, spacing),
      sizes.map((size) => SIDES.length * size),
      { mayBe },
    )) {
      const logChance = judged.logTail + Math.log(2 * known.length * CARRIERS.length);
      best = better(best, input, { judged, logChance, spacing, subject: input.subjects[s]! });
    }
  for (const [reach, reachHz, reaches] of reachesOf(lines)) {
    const pairs = anchorPairs(lines, carriers, reachHz);
    for (const carrier of carriers) {
      const at = lines.frequencyHz[carrier]!;
      // what modulates one tooth of a comb modulates its neighbours: nearest carriers first
      const nearest = [...carriers].sort(
        (a, b) => Math.abs(lines.frequencyHz[a]! - at) - Math.abs(lines.frequencyHz[b]! - at),
      );
      for (const anchor of lines.between(at - reachHz, at + reachHz)) {
        if (
          anchor === carrier ||
          lines.levelDb[anchor]! < weakestDb ||
          lines.levelDb[anchor]! > lines.levelDb[carrier]! - CARRIER_OVER_SIDE_DB
        )
          continue;
        if (isHarmonic(lines.frequencyHz[anchor]!, lines.sigmaHz[anchor]!, input.subjects, lines.matchSigma)) continue;
        const hz = Math.abs(lines.frequencyHz[anchor]! - at);
        // narrower spacings were judged with a narrower reach
        if (hz < 1.5 * lines.lineWidthHz || (reach > 0 && hz <= reachHz / REACH_STEP)) continue;
        const spacing = { hz, sigmaHz: Math.hypot(lines.sigmaHz[anchor]!, lines.sigmaHz[carrier]!) };
        if (mirrorOf(lines, carrier, anchor) === -1) continue;
        const anchorSide = lines.frequencyHz[anchor]! > at ? 1 : -1;
        const places = placesAbout(input, nearest, spacing).filter(
          (place) => place.carrier !== carrier || place.side !== anchorSide,
        );
        const nested = judgeNested(
          lines,
          places,
          sizes.map((size) => SIDES.length * size - 1),
          { mayBe },
        );
        for (const judged of nested) {
          const logChance = judged.logTail + Math.log(pairs * CARRIERS.length * reaches * 2);
          const next = { judged, logChance, spacing, anchor: { carrier, line: anchor, side: anchorSide } } as const;
          best = better(best, input, next);
        }
      }
    }
  }
  return best === null ? null : toFound(best, input);
}

interface Best {
  readonly judged: Judged<SidePlace>;
  readonly logChance: number;
  readonly spacing: Spacing;
  /** The line and carrier that gave the spacing. */
  readonly anchor?: { readonly carrier: number; readonly line: number; readonly side: Side };
  /** The comb whose fundamental the spacing is. */
  readonly subject?: Subject;
}

function better(best: Best | null, input: SidebandInput, next: Best): Best | null {
  if (best !== null && !isPreferred(next, best)) return best;
  const members = membersOf(next);
  const pairs = members.filter(
    ({ carrier, side }) => side > 0 && members.some((other) => other.carrier === carrier && other.side === -side),
  );
  if (pairs.length === 0 || !isPlausible(next, members, input)) return best;
  return next;
}

function isPreferred(next: Best, best: Best): boolean {
  if (next.spacing.hz < 0.9 * best.spacing.hz) return next.logChance <= AS_GOOD * best.logChance;
  if (best.spacing.hz < 0.9 * next.spacing.hz) return best.logChance > AS_GOOD * next.logChance;
  return next.logChance < best.logChance;
}

function membersOf({ judged, anchor }: Best): { carrier: number; side: Side; line: number }[] {
  const members = judged.hits.map(({ place, line }) => ({ carrier: place.carrier, side: place.side, line }));
  if (anchor === undefined) return members;
  return [...members, anchor];
}

/** What looks like sidebands but is a lattice of lines: see findSidebands. */
function isPlausible(
  { spacing, subject }: Best,
  members: readonly Member[],
  { lines, explanations, subjects }: SidebandInput,
): boolean {
  const used = [...new Set(members.map(({ carrier }) => carrier))];
  const isTooth = used.some((carrier) => {
    const turns = lines.frequencyHz[carrier]! / spacing.hz;
    const windowTurns = (lines.matchSigma * Math.hypot(turns * spacing.sigmaHz, lines.sigmaHz[carrier]!)) / spacing.hz;
    return windowTurns < TELLS_MULTIPLE && Math.abs(turns - Math.round(turns)) <= windowTurns;
  });
  if (isTooth) return false;
  if (
    subject === undefined &&
    subjects.some(({ fundamentalHz, sigmaHz }) =>
      SIMPLE_FRACTIONS.some((q) => {
        const p = Math.round((q * spacing.hz) / fundamentalHz);
        const errorHz = lines.matchSigma * Math.hypot(spacing.sigmaHz, (p / q) * sigmaHz);
        // whole multiples are sums of harmonics, and named as such
        return p % q !== 0 && Math.abs(spacing.hz - (p / q) * fundamentalHz) <= errorHz;
      }),
    )
  )
    return false;
  // one carrier that nothing explains, in one pair: three lines in a row are too common to mean it
  if (
    used.length === 1 &&
    members.length < 4 &&
    explanations[used[0]!]!.cause === 'unexplained' &&
    lines.isFree(used[0]!)
  )
    return false;
  return !isRaster(lines, members);
}

function toFound(best: Best, input: SidebandInput): Found {
  const { lines, explanations } = input;
  const own = membersOf(best);
  const members = [...own, ...joining(lines, own, meanSpacing(lines, own))];
  const spacing = meanSpacing(lines, members);
  const owners = ownersOf(spacing, best.subject, input);
  const carrierCount = new Set(members.map(({ carrier }) => carrier)).size;
  const spacingText = `${frequencyText(spacing.hz)} ± ${spacing.sigmaHz.toPrecision(2)} Hz`;
  return {
    chance: Math.min(1, Math.exp(best.logChance)),
    family: (counted) => ({
      kind: 'sideband',
      sources: owners.names,
      spacingHz: spacing.hz,
      spacingSigmaHz: spacing.sigmaHz,
      band: null,
      spurs: members.map(({ line }) => line).sort((a, b) => a - b),
      places: best.judged.places + (best.anchor === undefined ? 0 : 1),
      chance: counted,
      why: `Symmetric pairs ${spacingText} from ${carrierCount === 1 ? 'one strong line' : `${carrierCount} strong lines`}${owners.text}; chance ${chanceText(counted)}.`,
    }),
    lines: members.map(({ carrier, side, line }) => ({
      line,
      explain: (counted) => {
        const at = lines.frequencyHz[carrier]!;
        const predictedHz = at + side * spacing.hz;
        const predictedSigmaHz = Math.hypot(side * spacing.sigmaHz, lines.sigmaHz[carrier]!);
        const place = { predictedHz, predictedSigmaHz, chance: counted };
        const carried = explanations[carrier]!.candidates[0];
        return {
          cause: 'sideband',
          candidates: [
            ...(carried === undefined ? [] : [{ source: carried.source, harmonic: carried.harmonic, ...place }]),
            ...owners.names.map((source) => ({ source, harmonic: 1, ...place })),
          ],
          why: `Lies ${offsetText(lines.frequencyHz[line]! - predictedHz)} from a sideband at ${side > 0 ? '+' : '−'}${Math.abs(side) === 2 ? '2 × ' : ''}${spacingText} of the strong line at ${frequencyText(at)}; ${members.length} such lines about ${carrierCount === 1 ? 'it' : `${carrierCount} carriers`}${owners.text}; chance ${chanceText(counted)}.`,
        };
      },
    })),
  };
}

/** Free lines at the spacing from any other strong line: they belong to the family too, though the claim rests without them. */
function joining(
  lines: FreeLines,
  own: readonly Member[],
  { hz, sigmaHz }: Spacing,
): { carrier: number; side: Side; line: number }[] {
  const taken = new Set(own.map(({ line }) => line));
  const out: { carrier: number; side: Side; line: number }[] = [];
  for (const [carrier, spur] of lines.spurs.entries()) {
    if (spur.shape !== 'line' || spur.overFloorDb < CARRIER_OVER_FLOOR_DB || taken.has(carrier)) continue;
    for (const side of SIDES) {
      const place = {
        hz: lines.frequencyHz[carrier]! + side * hz,
        sigmaHz: Math.hypot(sigmaHz, lines.sigmaHz[carrier]!),
      };
      const line = lines.matchAt(place);
      if (line === -1 || taken.has(line) || lines.accidentAt(place) > JOINS) continue;
      if (lines.levelDb[line]! > lines.levelDb[carrier]! - CARRIER_OVER_SIDE_DB) continue;
      taken.add(line);
      out.push({ carrier, side, line });
    }
  }
  return out;
}

/** Whose fundamental the spacing is: a claimed comb's first, else the register entries whose tolerance holds it. */
function ownersOf(
  spacing: Spacing,
  subject: Subject | undefined,
  { lines, subjects, ranges }: SidebandInput,
): { names: (string | null)[]; text: string } {
  const comb =
    subject ??
    subjects.find(
      ({ fundamentalHz, sigmaHz }) =>
        Math.abs(fundamentalHz - spacing.hz) <= lines.matchSigma * Math.hypot(sigmaHz, spacing.sigmaHz),
    );
  if (comb !== undefined) return { names: [comb.source], text: `; the spacing is the fundamental of ${comb.name}` };
  const slack = lines.matchSigma * spacing.sigmaHz;
  const names = ranges
    .filter(({ lowHz, highHz }) => spacing.hz >= lowHz - slack && spacing.hz <= highHz + slack)
    .map(({ name }) => name);
  return { names, text: names.length === 0 ? '' : `; the spacing lies in the tolerance of ${names.join(', ')}` };
}

function strongest(lines: FreeLines): number[] {
  return lines.spurs
    .flatMap((spur, i) => (spur.shape === 'line' && spur.overFloorDb >= CARRIER_OVER_FLOOR_DB ? [i] : []))
    .sort((a, b) => lines.levelDb[b]! - lines.levelDb[a]!)
    .slice(0, CARRIERS.at(-1));
}

/** Level of the weakest line that a spacing is read from: of many free lines the stronger ones will do, and the search stays short. */
function weakestAnchorDb(lines: FreeLines): number {
  const levels = Array.from(lines.free, (line) => lines.levelDb[line]!).sort((a, b) => b - a);
  return levels[Math.min(levels.length, ANCHORS) - 1] ?? -Infinity;
}

/** The nested sets of carriers that differ. */
function sizesFor(count: number): number[] {
  return CARRIERS.filter((_, i) => i === 0 || count > CARRIERS[i - 1]!);
}

function reachesOf(lines: FreeLines): [index: number, reachHz: number, count: number][] {
  const most = (lines.spanHighHz - lines.spanLowHz) / 10;
  const out: number[] = [];
  for (let reach = NARROWEST_REACH * lines.lineWidthHz; reach < REACH_STEP * most; reach *= REACH_STEP)
    out.push(Math.min(reach, most));
  return out.map((reachHz, i) => [i, reachHz, out.length]);
}

/** Pairs of carrier and free line within reach: as many as there are, or as many as chance offers where that is more. */
function anchorPairs(lines: FreeLines, carriers: readonly number[], reachHz: number): number {
  let there = 0;
  let expected = 0;
  for (const carrier of carriers) {
    const at = lines.frequencyHz[carrier]!;
    there += lines.between(at - reachHz, at + reachHz).length;
    expected += 2 * reachHz * lines.densityAt(at);
  }
  return Math.max(1, there, expected);
}

function mirrorOf(lines: FreeLines, carrier: number, anchor: number): number {
  return lines.matchAt({
    hz: 2 * lines.frequencyHz[carrier]! - lines.frequencyHz[anchor]!,
    sigmaHz: Math.hypot(lines.sigmaHz[anchor]!, 2 * lines.sigmaHz[carrier]!),
  });
}

function placesAbout(
  { lines, subjects }: SidebandInput,
  carriers: readonly number[],
  { hz, sigmaHz }: Spacing,
): SidePlace[] {
  return carriers.flatMap((carrier) =>
    SIDES.map((side) => {
      const place = {
        hz: lines.frequencyHz[carrier]! + side * hz,
        sigmaHz: Math.hypot(side * sigmaHz, lines.sigmaHz[carrier]!),
        carrier,
        side,
      };
      // at a tooth of a comb, or half-way, its own line is expected; a place out of sight is neither for nor against
      return isHarmonic(place.hz, place.sigmaHz, subjects, lines.matchSigma) ? { ...place, hz: NaN } : place;
    }),
  );
}
