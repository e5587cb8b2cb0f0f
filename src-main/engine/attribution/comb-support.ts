import { fitComb, predictHz, predictSigmaHz, type CombFit } from './comb-fit.ts';
import type { Coverage } from './coverage.ts';
import type { LineTable } from './line-table.ts';
import { log10BinomialTail } from './tail.ts';
import { lowerBound } from '../numeric/lower-bound.ts';

/** Match of one harmonic: the index of a line, or one of these. */
export const MISSING = -1;
/** The place is covered by a line that something else explains: neither for nor against. */
export const MASKED = -2;

/** Everything that was searched to find a comb; its size is the look-elsewhere factor. */
export interface SearchScope {
  readonly lowHz: number;
  readonly highHz: number;
  readonly maxHarmonic: number;
  /** How many register entries (or, for unknown combs, starting points of search) share the right to be found. */
  readonly entries: number;
  /** Whether the fundamental may drift during the sweep. */
  readonly mayDrift: boolean;
}

export interface SearchContext {
  readonly lines: LineTable;
  readonly active: Uint8Array;
  readonly coverage: Coverage;
  readonly matchSigma: number;
  readonly spanLowHz: number;
  readonly spanHighHz: number;
}

/** A fundamental with what speaks for it. */
export interface SupportedComb {
  readonly fit: CombFit;
  readonly firstHarmonic: number;
  /** Per harmonic from firstHarmonic: line index, MISSING or MASKED. */
  readonly matches: Int32Array;
  /** log10 of the chance (see Comb.chance); 0 where nothing speaks for it. */
  readonly log10Chance: number;
  /** The same before the lines off the multiples of small primes are asked to stand by themselves: how much it explains. */
  readonly log10Support: number;
  /** The harmonics that carry the claim. */
  readonly rangeFirst: number;
  readonly rangeLast: number;
}

/** Widest half-width of a predicted tooth, as a share of the spacing. A choice of this tool. */
const WIDEST_TOOTH = 0.125;
/** A match must be this much likelier under the comb than a miss for a stretch of harmonics to count as visible. */
const SEEN_SHARE = 0.75;
/** Combs whose every line is a multiple of one of these are better explained by that multiple of the fundamental. */
const SUBLATTICE_PRIMES = [2, 3, 5, 7, 11, 13];
/** Sources in ratios of the first so many primes fill the multiples of all of them and nothing else. */
const SET_PRIMES = 3;
/** Fewer places off all lattices of a set than this say nothing when they are empty. A choice of this tool. */
const FEWEST_OFF_SET = 2;
/** Off the lattices of a set the comb must be seen this much likelier as it is seen on them than by accident. A choice of this tool. */
const SEEN_ALIKE = 10;
/** A drift that improves χ² by less than this is not believed (p ≈ 5e-4 for one parameter). */
export const DRIFT_GAIN = 12;
/** Largest relative drift of a fundamental within one sweep: 1 000 ppm. A choice of this tool, far above the published 100 ppm/h. */
export const LARGEST_DRIFT = 1e-3;

/** Matches every harmonic of a fit inside the span to its nearest active line. */
export function matchHarmonics(
  context: Omit<SearchContext, 'coverage'>,
  fit: CombFit,
  maxHarmonic: number,
): { firstHarmonic: number; matches: Int32Array } {
  const { lines, active, matchSigma, spanLowHz, spanHighHz } = context;
  const { count, frequencyHz, sigmaHz, fromHz, toHz } = lines;
  const widestZ2 = matchSigma * matchSigma;
  const firstHarmonic = Math.max(1, Math.ceil(spanLowHz / fit.fundamentalHz));
  const lastHarmonic = Math.min(maxHarmonic, Math.floor(spanHighHz / fit.fundamentalHz));
  const matches = new Int32Array(Math.max(0, lastHarmonic - firstHarmonic + 1));
  let near = lowerBound(lines.frequencyHz, predictHz(fit, firstHarmonic));
  for (let n = firstHarmonic; n <= lastHarmonic; n++) {
    const x = predictHz(fit, n);
    const sigma = predictSigmaHz(fit, n);
    // a tooth that may lie anywhere in an eighth of the spacing is no prediction: neither for nor against
    if (matchSigma * sigma > WIDEST_TOOTH * fit.fundamentalHz) {
      matches.fill(MASKED, n - firstHarmonic);
      break;
    }
    // harmonics ascend, so the place among the lines only moves on
    while (near < count && frequencyHz[near]! < x) near++;
    let best = MISSING;
    let bestZ2 = widestZ2;
    const variance = sigma * sigma;
    let covered = false;
    const last = Math.min(count, near + 3);
    for (let i = Math.max(0, near - 3); i < last; i++) {
      const lineSigma = sigmaHz[i]!;
      const off = frequencyHz[i]! - x;
      const z2 = (off * off) / (lineSigma * lineSigma + variance); // squares: the innermost loop of the search
      if (active[i] === 1) {
        if (z2 <= bestZ2) {
          bestZ2 = z2;
          best = i;
        }
        // inside an active line's skirt but off its peak: the tooth could hide there
        if (x >= fromHz[i]! && x <= toHz[i]!) covered = true;
      } else if (z2 <= widestZ2 || (x >= fromHz[i]! && x <= toHz[i]!)) covered = true;
    }
    matches[n - firstHarmonic] = best >= 0 ? best : covered ? MASKED : MISSING;
  }
  return { firstHarmonic, matches };
}

/**
 * The chance of a set of matches, the whole search counted in.
 *
 * For a range of harmonics with k matches among H places, each hit by accident with probability p: the comb was anchored on
 * one match, of which the search offered E (expected number of pairs line × harmonic in the scope), so
 * chance ≤ E · P(Binomial(H−1, p) ≥ k−1) / weight. Ranges that begin at the lowest harmonic share half of the right
 * to be found (short ones more), all other ranges the other half. The union bound holds for any dependence between them.
 * On top, for each small prime q: with the comb of q·f0 taken for granted, the places that are not multiples of q must
 * stand by themselves.
 */
export function chanceOf(
  context: SearchContext,
  scope: SearchScope,
  fit: CombFit,
  firstHarmonic: number,
  matches: Int32Array,
): { log10Chance: number; log10Support: number; rangeFirst: number; rangeLast: number } {
  const { lines, coverage, matchSigma } = context;
  const { fundamentalHz } = fit;
  const most = matches.length;
  const place = new Int32Array(most);
  const hit = new Uint8Array(most);
  const p = new Float64Array(most);
  const pairs = new Float64Array(most);
  let total = 0;
  for (let j = 0; j < most; j++) {
    if (matches[j] === MASKED) continue;
    const n = firstHarmonic + j;
    const isHit = matches[j]! >= 0;
    const half = isHit ? matchSigma * lines.sigmaHz[matches[j]!]! : 0;
    const at = n * fundamentalHz;
    place[total] = n;
    hit[total] = isHit ? 1 : 0;
    p[total] = Math.min(0.9, coverage.probabilityAt(at, predictSigmaHz(fit, n)));
    pairs[total] = Math.min(lines.count, coverage.densityAt(at) * (n * (scope.highHz - scope.lowHz) + 2 * half));
    total++;
  }
  const none = { log10Chance: 0, log10Support: 0, rangeFirst: firstHarmonic, rangeLast: firstHarmonic - 1 };
  if (total === 0) return none;
  // sums up to each place, so that every range is judged at once
  const hitSum = new Int32Array(total + 1);
  const pSum = new Float64Array(total + 1);
  const pairSum = new Float64Array(total + 1);
  for (let j = 0; j < total; j++) {
    hitSum[j + 1] = hitSum[j]! + hit[j]!;
    pSum[j + 1] = pSum[j]! + p[j]!;
    pairSum[j + 1] = pairSum[j]! + pairs[j]!;
  }

  const judge = (first: number, last: number, weight: number): number => {
    const hits = hitSum[last + 1]! - hitSum[first]!;
    const count = last - first + 1;
    const factor = (scope.entries * (pairSum[last + 1]! - pairSum[first]!)) / weight;
    if (hits === 1) return Math.log10(-Math.expm1(-factor));
    return Math.log10(factor) + log10BinomialTail(hits - 1, count - 1, (pSum[last + 1]! - pSum[first]!) / count);
  };

  let best = none;
  const harmonicSum = 1 + Math.log(total);
  const consider = (first: number, last: number, weight: number): void => {
    const log10Chance = judge(first, last, weight);
    if (log10Chance < best.log10Chance)
      best = { log10Chance, log10Support: log10Chance, rangeFirst: place[first]!, rangeLast: place[last]! };
  };
  // ranges from the lowest harmonic, ending at a match; the tail is cheap but not free, so at most 64 of them
  const ends: number[] = [];
  for (let j = 0; j < total; j++) if (hit[j] === 1) ends.push(j);
  const stride = Math.max(1, Math.ceil(ends.length / 64));
  for (let e = 0; e < ends.length; e++)
    if (e % stride === 0 || e === ends.length - 1) consider(0, ends[e]!, 0.5 / (harmonicSum * (ends[e]! + 1)));
  // the best of all other ranges: largest sum of log likelihood ratios
  let sum = 0;
  let start = 0;
  let bestSum = 0;
  let bestFirst = -1;
  let bestLast = -1;
  for (let j = 0; j < total; j++) {
    const seen = hit[j] === 1;
    if (sum <= 0) {
      sum = 0;
      start = j;
    }
    sum += seen ? Math.log(SEEN_SHARE / p[j]!) : Math.log((1 - SEEN_SHARE) / (1 - p[j]!));
    if (seen && sum > bestSum) {
      bestSum = sum;
      bestFirst = start;
      bestLast = j;
    }
  }
  if (bestFirst >= 0) consider(bestFirst, bestLast, 1 / (total * (total + 1)));
  if (best.log10Chance >= 0) return none;

  const offLattice = log10OffLattice(place, hit, p, place.indexOf(best.rangeFirst), place.indexOf(best.rangeLast));
  return { ...best, log10Chance: Math.max(best.log10Chance, offLattice) };
}

/**
 * Is this a comb of its own, or coarser ones seen through too fine a fundamental? For each small prime, and each set of the
 * smallest ones, the places that are multiples of none of them must stand by themselves; the log10 of the worst of these chances.
 */
function log10OffLattice(place: Int32Array, hit: Uint8Array, p: Float64Array, first: number, last: number): number {
  // which of the primes divide each place, as bits
  const primes = SUBLATTICE_PRIMES.length;
  const kinds = 1 << primes;
  const places = new Int32Array(kinds);
  const hits = new Int32Array(kinds);
  const sumP = new Float64Array(kinds);
  const hitsOf = new Int32Array(primes);
  for (let j = first; j <= last; j++) {
    let kind = 0;
    for (let i = 0; i < primes; i++)
      if (place[j]! % SUBLATTICE_PRIMES[i]! === 0) {
        kind |= 1 << i;
        hitsOf[i]! += hit[j]!;
      }
    places[kind]!++;
    hits[kind]! += hit[j]!;
    sumP[kind]! += p[j]!;
  }
  let allPlaces = 0;
  let allHits = 0;
  for (let kind = 0; kind < kinds; kind++) {
    allPlaces += places[kind]!;
    allHits += hits[kind]!;
  }
  const share = allHits / (allPlaces + 1);
  const seenAlike = (k: number, n: number, accident: number): boolean =>
    k * Math.log(share / accident) + (n - k) * Math.log((1 - share) / (1 - accident)) > Math.log(SEEN_ALIKE);
  let worst = -Infinity;
  const ask = (set: number): void => {
    let off = 0;
    let offHits = 0;
    let offP = 0;
    for (let kind = 0; kind < kinds; kind++) {
      if ((kind & set) !== 0) continue;
      off += places[kind]!;
      offHits += hits[kind]!;
      offP += sumP[kind]!;
    }
    const several = (set & (set - 1)) !== 0;
    if (several && (off < FEWEST_OFF_SET || seenAlike(offHits, off, offP / off))) return;
    const tail = log10BinomialTail(offHits, off, offP / Math.max(1, off)) + Math.log10(primes);
    worst = Math.max(worst, Math.min(0, tail));
  };
  const populated = (set: number): boolean => {
    for (let i = 0; i < primes; i++) if ((set & (1 << i)) !== 0 && hitsOf[i]! < 2) return false;
    return true;
  };
  for (let set = 1; set < 1 << SET_PRIMES; set++) if (populated(set)) ask(set);
  for (let i = SET_PRIMES; i < primes; i++) if (populated(1 << i)) ask(1 << i);
  return worst;
}

/** Harmonics on either side that tell whether a match is one of many or an accident. */
const AROUND = 10;
/** Share of them that must be seen. A choice of this tool: below what a comb lacking a third of every second line shows. */
const LEAST_SEEN_AROUND = 0.2;

/** High harmonics that match by accident would bend a fit, since its lever is the harmonic number: alone they are left out. */
export function isSeenAround(matches: Int32Array, j: number): boolean {
  return shareSeenAround(matches, j) >= LEAST_SEEN_AROUND;
}

/** Share of the harmonics around one that are seen; 1 where none of them could be. */
export function shareSeenAround(matches: Int32Array, j: number): number {
  let seen = 0;
  let asked = 0;
  for (let k = Math.max(0, j - AROUND); k <= Math.min(matches.length - 1, j + AROUND); k++) {
    if (k === j || matches[k] === MASKED) continue;
    asked++;
    if (matches[k]! >= 0) seen++;
  }
  return asked === 0 ? 1 : seen / asked;
}

/**
 * Refines a first guess of a fundamental: match, fit, match again, first on the harmonics that carry the claim, then on
 * all; lets the fundamental drift within the sweep where that explains the residuals far better.
 *
 * @param hopeless a guess whose log10Support is not below this is not refined; 0: all are
 */
export function supportComb(
  context: SearchContext,
  scope: SearchScope,
  guessHz: number,
  guessSigmaHz: number,
  hopeless = 0,
): SupportedComb {
  const midHz = (context.spanLowHz + context.spanHighHz) / 2;
  const spanHz = context.spanHighHz - context.spanLowHz;
  let fit: CombFit = {
    fundamentalHz: guessHz,
    sigmaHz: guessSigmaHz,
    slope: 0,
    slopeSigma: 0,
    covariance: 0,
    chiSquarePerPoint: 0,
    midHz,
    spanHz,
  };
  let state = matchHarmonics(context, fit, scope.maxHarmonic);
  let chance = chanceOf(context, scope, fit, state.firstHarmonic, state.matches);
  for (let round = 0; round < 4 && (round > 0 || chance.log10Support < hopeless || hopeless === 0); round++) {
    const harmonics: number[] = [];
    const matched: number[] = [];
    const from = round === 0 ? chance.rangeFirst : 1;
    const to = round === 0 ? chance.rangeLast : Infinity;
    for (let j = 0; j < state.matches.length; j++) {
      const n = state.firstHarmonic + j;
      if (state.matches[j]! < 0 || n < from || n > to) continue;
      if (round > 0 && !isSeenAround(state.matches, j)) continue;
      harmonics.push(n);
      matched.push(state.matches[j]!);
    }
    if (harmonics.length === 0) break;
    let next = fitComb(context.lines, harmonics, matched, false, midHz, spanHz);
    if (scope.mayDrift && harmonics.length >= 6) {
      const drifting = fitComb(context.lines, harmonics, matched, true, midHz, spanHz);
      const gain =
        next.chiSquarePerPoint * (harmonics.length - 1) - drifting.chiSquarePerPoint * (harmonics.length - 2);
      if (gain > DRIFT_GAIN && Math.abs(drifting.slope) < LARGEST_DRIFT) next = drifting;
    }
    const nextState = matchHarmonics(context, next, scope.maxHarmonic);
    const nextChance = chanceOf(context, scope, next, nextState.firstHarmonic, nextState.matches);
    if (round > 0 && nextChance.log10Chance > chance.log10Chance) break;
    const settled = next.fundamentalHz === fit.fundamentalHz && next.slope === fit.slope;
    fit = next;
    state = nextState;
    chance = nextChance;
    if (settled) break;
  }
  const inside = fit.fundamentalHz >= scope.lowHz && fit.fundamentalHz <= scope.highHz;
  return {
    fit,
    ...state,
    ...chance,
    log10Chance: inside ? chance.log10Chance : 0,
    log10Support: inside ? chance.log10Support : 0,
  };
}
