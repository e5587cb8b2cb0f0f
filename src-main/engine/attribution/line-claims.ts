import { predictHz, predictSigmaHz } from './comb-fit.ts';
import { MASKED, matchHarmonics, type SearchContext } from './comb-support.ts';
import type { AcceptedComb } from './selection.ts';

/** One comb's claim to one line. */
export interface LineClaim {
  readonly comb: number;
  readonly harmonic: number;
  readonly predictedHz: number;
  readonly predictedSigmaHz: number;
  /** Squared deviation in units of its variance. */
  readonly z2: number;
  /** Share of the harmonics around that are seen: how likely the comb shows here at all. */
  readonly visible: number;
  /** How far the line stands over the comb's lines around it, dB; null where none is seen. */
  readonly overNeighboursDb: number | null;
  /** How likely the comb makes a line here, of this level and this far off, over how likely a line of nobody does. */
  readonly odds: number;
}

/** Lines up to this many standard deviations off are looked at; odds decide, and real errors have wider tails than stated. */
const WIDEST_SIGMA = 5;
/** One line in twenty is taken to be two and a half times as wrong as it states. A choice of this tool. */
const WILD_SHARE = 0.05;
const WILD_FACTOR = 2.5;
/** Harmonics of the same parity on either side that tell whether a comb is visible at a place; those further off count less. */
const NEAR = 8;
const FAR = 40;
const FAR_WEIGHT = 0.2;
/** Scatter of a comb's levels about their neighbours, and the range over which foreign lines spread, dB. A choice of this tool. */
const LEVEL_SCATTER_DB = 10;
const FOREIGN_RANGE_DB = 50;

/**
 * Every comb's claims to the lines near its harmonics; per line, in no order.
 *
 * The odds of a claim: the comb shows here with the probability that it shows around here (same parity: some combs lack even
 * harmonics), its line falls this far off with the density of its error, and this high with the scatter of its neighbours;
 * against the density of unexplained lines at this place.
 *
 * @param context with all lines active @param free with the lines that no comb explains
 */
export function claimLines(context: SearchContext, free: SearchContext, combs: readonly AcceptedComb[]): LineClaim[][] {
  const { lines } = context;
  const wide = { ...context, matchSigma: Math.max(context.matchSigma, WIDEST_SIGMA) };
  const claims: LineClaim[][] = Array.from({ length: lines.count }, () => []);
  const fewestPerHz = 0.5 / (context.spanHighHz - context.spanLowHz);
  for (const [c, { comb, scope, halfOf }] of combs.entries()) {
    const { firstHarmonic, matches } = matchHarmonics(context, comb.fit, scope.maxHarmonic);
    const near = matchHarmonics(wide, comb.fit, scope.maxHarmonic).matches;
    for (let j = 0; j < near.length; j++) {
      const line = near[j]!;
      if (line < 0) continue;
      const harmonic = firstHarmonic + j;
      if (halfOf !== undefined && harmonic % 2 === 0) continue; // the source's own line
      const predictedHz = predictHz(comb.fit, harmonic);
      const predictedSigmaHz = predictSigmaHz(comb.fit, harmonic);
      const sigmaHz = Math.hypot(lines.sigmaHz[line]!, predictedSigmaHz);
      const z2 = ((lines.frequencyHz[line]! - predictedHz) / sigmaHz) ** 2;
      const { visible, levelDb } = lookAround(matches, j, lines.levelDb);
      const overNeighboursDb = levelDb === null ? null : lines.levelDb[line]! - levelDb;
      const perHz = Math.max(fewestPerHz, free.coverage.densityAt(predictedHz));
      const odds = (visible * errorDensity(z2) * levelRatio(overNeighboursDb)) / (sigmaHz * perHz);
      claims[line]!.push({ comb: c, harmonic, predictedHz, predictedSigmaHz, z2, visible, overNeighboursDb, odds });
    }
  }
  return claims;
}

/** How much of a comb is seen around one harmonic, and how strong. */
function lookAround(
  matches: Int32Array,
  j: number,
  levelDb: Float64Array,
): { readonly visible: number; readonly levelDb: number | null } {
  let seen = 0;
  let asked = 0;
  const levels: number[] = [];
  for (let k = j - FAR; k <= j + FAR; k += 2) {
    if (k === j || k < 0 || k >= matches.length || matches[k] === MASKED) continue;
    const near = Math.abs(k - j) <= NEAR;
    const weight = near ? 1 : FAR_WEIGHT;
    asked += weight;
    if (matches[k]! < 0) continue;
    seen += weight;
    if (near) levels.push(levelDb[matches[k]!]!);
  }
  levels.sort((a, b) => a - b);
  return { visible: (seen + 0.25) / (asked + 0.5), levelDb: levels[levels.length >> 1] ?? null };
}

/** Density of an error of z² squared standard deviations, per standard deviation. */
function errorDensity(z2: number): number {
  const calm = (1 - WILD_SHARE) * Math.exp(-z2 / 2);
  const wild = (WILD_SHARE / WILD_FACTOR) * Math.exp(-z2 / (2 * WILD_FACTOR ** 2));
  return (calm + wild) / Math.sqrt(2 * Math.PI);
}

/** How much likelier a comb has a line of this level here than a line of nobody has it. */
function levelRatio(overNeighboursDb: number | null): number {
  if (overNeighboursDb === null) return 1;
  const peak = FOREIGN_RANGE_DB / (LEVEL_SCATTER_DB * Math.sqrt(2 * Math.PI));
  return peak * Math.exp(-(overNeighboursDb ** 2) / (2 * LEVEL_SCATTER_DB ** 2));
}
