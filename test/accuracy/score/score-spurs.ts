import type { Spur } from '../../../src-main/model/spur.ts';
import type { AccuracyCase } from '../cases/case.ts';
import { filterDb } from '../simulator/resolution-filter.ts';
import { surroundingsOf, type Surroundings } from './surroundings.ts';

export interface Miss {
  readonly frequencyHz: number;
  readonly overFloorDb: number;
}

/** How well the list of spurs says what lines are there; sums, so that captures can be added. */
export interface SpurScore {
  clearLines: number;
  found: number;
  spurs: number;
  phantoms: number;
  /** Isolated found lines, their frequency error in bandwidths squared, and inside 1σ and 2σ of the stated uncertainty. */
  isolated: number;
  squaredErrorRbw: number;
  insideOne: number;
  insideTwo: number;
  squaredLevelDb: number;
  sumLevelDb: number;
  levelInsideOne: number;
  levelInsideTwo: number;
  /** Sum over all found clear lines of squared frequency error in bandwidths, isolated or not. */
  squaredErrorAllRbw: number;
  readonly missed: Miss[];
  readonly phantomAt: Miss[];
}

/** `spurOf[i]` is the spur that shows line i, or −1; `lineOf[j]` the strongest line that spur j shows, or −1 for a phantom. */
export interface SpurMatch {
  readonly surroundings: readonly Surroundings[];
  readonly spurOf: Int32Array;
  readonly lineOf: Int32Array;
  readonly score: SpurScore;
}

/**
 * Matches spurs with true lines, strongest lines first, each to the nearest spur not yet taken within three quarters of a
 * bandwidth or of a point's spacing (and its smear). A spur that is left is a phantom unless some line at least as strong as a
 * third of the floor, or lines together, lie within one bandwidth.
 */
export function scoreSpurs(subject: AccuracyCase, spurs: readonly Spur[]): SpurMatch {
  const { lines, rbwHz, spacingHz, filter } = subject;
  const surroundings = surroundingsOf(subject);
  const spurOf = new Int32Array(lines.length).fill(-1);
  const lineOf = new Int32Array(spurs.length).fill(-1);
  const reachHz = 0.75 * Math.max(rbwHz, spacingHz);
  const order = lines.map((_, i) => i).sort((a, b) => lines[b]!.overFloorDb - lines[a]!.overFloorDb);
  for (const i of order) {
    const line = lines[i]!;
    if (line.overFloorDb < -5) continue;
    let best = -1;
    let bestHz = reachHz + line.smearHz;
    for (let j = lowerBound(spurs, line.frequencyHz - bestHz); j < spurs.length; j++) {
      const apartHz = Math.abs(spurs[j]!.frequencyHz - line.frequencyHz);
      if (spurs[j]!.frequencyHz > line.frequencyHz + bestHz) break;
      if (lineOf[j] === -1 && apartHz <= bestHz) {
        best = j;
        bestHz = apartHz;
      }
    }
    if (best >= 0) {
      spurOf[i] = best;
      lineOf[best] = i;
    }
  }

  const score = emptySpurScore();
  score.spurs = spurs.length;
  spurs.forEach((spur, j) => {
    if (lineOf[j] !== -1) return;
    // several lines too close to be told apart may show one peak between them
    let power = 0;
    const taken: number[] = [];
    const from = lowerBound(lines, spur.frequencyHz - 1.5 * Math.max(rbwHz, spacingHz));
    for (let i = from; i < lines.length; i++) {
      const apartHz = Math.abs(lines[i]!.frequencyHz - spur.frequencyHz);
      if (lines[i]!.frequencyHz > spur.frequencyHz + 1.5 * Math.max(rbwHz, spacingHz)) break;
      if (spurOf[i] === -1) power += 10 ** ((lines[i]!.overFloorDb + filterDb(filter, apartHz / rbwHz / 1.5)) / 10);
      else if (apartHz < 1.5 * rbwHz) taken.push(i);
    }
    // the peak between two lines that beat against each other is theirs; the second peak of one single line is not
    const between = taken.length >= 2;
    if (power > 0.3 || between) return;
    score.phantoms++;
    score.phantomAt.push({ frequencyHz: spur.frequencyHz, overFloorDb: spur.overFloorDb });
  });

  lines.forEach((line, i) => {
    const { clear, isolated } = surroundings[i]!;
    if (!clear) return;
    score.clearLines++;
    if (spurOf[i] === -1) {
      score.missed.push({ frequencyHz: line.frequencyHz, overFloorDb: line.overFloorDb });
      return;
    }
    score.found++;
    const spur = spurs[spurOf[i]!]!;
    const errorHz = spur.frequencyHz - line.frequencyHz;
    score.squaredErrorAllRbw += (errorHz / rbwHz) ** 2;
    if (!isolated) return;
    score.isolated++;
    score.squaredErrorRbw += (errorHz / rbwHz) ** 2;
    const sigmas = Math.abs(errorHz) / spur.frequencySigmaHz;
    if (sigmas < 1) score.insideOne++;
    if (sigmas < 2) score.insideTwo++;
    const levelError = spur.levelDb - line.levelDb;
    score.sumLevelDb += levelError;
    score.squaredLevelDb += levelError ** 2;
    const levelSigmas = Math.abs(levelError) / spur.levelSigmaDb;
    if (levelSigmas < 1) score.levelInsideOne++;
    if (levelSigmas < 2) score.levelInsideTwo++;
  });
  return { surroundings, spurOf, lineOf, score };
}

export function emptySpurScore(): SpurScore {
  return {
    clearLines: 0,
    found: 0,
    spurs: 0,
    phantoms: 0,
    isolated: 0,
    squaredErrorRbw: 0,
    squaredErrorAllRbw: 0,
    insideOne: 0,
    insideTwo: 0,
    squaredLevelDb: 0,
    sumLevelDb: 0,
    levelInsideOne: 0,
    levelInsideTwo: 0,
    missed: [],
    phantomAt: [],
  };
}

/** First index whose frequency is not below a bound. */
export function lowerBound(items: readonly { readonly frequencyHz: number }[], frequencyHz: number): number {
  let low = 0;
  let high = items.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (items[middle]!.frequencyHz < frequencyHz) low = middle + 1;
    else high = middle;
  }
  return low;
}
