import { supportComb, type SearchContext, type SearchScope, type SupportedComb } from './comb-support.ts';
import { lowerBound } from '../numeric/lower-bound.ts';

/** Highest harmonic a starting line is taken for. */
const HIGHEST_START = 200;
const GUESSES_CHECKED = 24;
/** Ratios of a finer or crossing fundamental to one that shares lines with it. */
const RELATED_RATIOS = [2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13].flatMap((down) =>
  [1, 2, 3, 4, 5].filter((up) => coprime(up, down)).map((up) => [up, down] as const),
);

function coprime(a: number, b: number): boolean {
  return b === 0 ? a === 1 : coprime(b, a % b);
}

/** A fundamental that a starting line and a harmonic number make. */
export interface Guess {
  readonly fundamentalHz: number;
  readonly sigmaHz: number;
  readonly anchor: number;
  score: number;
}

/** Every starting line over every harmonic number it could be. */
export function guessesFrom({ lines }: SearchContext, scope: SearchScope, starts: Iterable<number>): Guess[] {
  const guesses: Guess[] = [];
  for (const i of starts)
    for (let n = 1; n <= HIGHEST_START && lines.frequencyHz[i]! / n >= scope.lowHz; n++)
      guesses.push({
        fundamentalHz: lines.frequencyHz[i]! / n,
        sigmaHz: lines.sigmaHz[i]! / n,
        anchor: n,
        score: 0,
      });
  return guesses;
}

/** The active ones of some lines, strongest first. */
export function strongestLines({ lines, active }: SearchContext, among: Iterable<number>, most: number): number[] {
  return [...among]
    .filter((i) => active[i] === 1)
    .sort((a, b) => lines.overFloorDb[b]! - lines.overFloorDb[a]!)
    .slice(0, most);
}

/** Scores all guesses anew; those without hope are left out, the rest comes best first. */
export function rankGuesses(context: SearchContext, guesses: readonly Guess[]): Guess[] {
  const gain = Float64Array.from(context.lines.frequencyHz, (f) =>
    Math.log(0.75 / Math.max(1e-9, context.coverage.probabilityAt(f))),
  );
  const index = indexLines(context);
  for (const guess of guesses) guess.score = quickScore(context, index, gain, guess);
  return guesses.filter((guess) => guess.score > 0).sort((a, b) => b.score - a.score);
}

/** Fundamentals in simple ratios to a comb's: it may be every second or third line of a finer one, or share lines with another. */
export function relatedGuesses({ fit, rangeFirst, rangeLast }: SupportedComb, scope: SearchScope): Guess[] {
  const guesses: Guess[] = [];
  for (const [up, down] of RELATED_RATIOS) {
    const fundamentalHz = (fit.fundamentalHz * up) / down;
    if (fundamentalHz < scope.lowHz || fundamentalHz > scope.highHz) continue;
    const anchor = Math.max(1, Math.round((((rangeFirst + rangeLast) / 2) * down) / up));
    guesses.push({ fundamentalHz, sigmaHz: (fit.sigmaHz * up) / down, anchor, score: 0 });
  }
  return guesses;
}

/** The best-supported comb below a chance that the best-ranked guesses lead to; null where none leads to any. */
export function refineBest(
  context: SearchContext,
  scope: SearchScope,
  guesses: readonly Guess[],
  log10Claim: number,
): SupportedComb | null {
  const best = bestOf(context, scope, guesses, log10Claim);
  if (best === null) return null;
  const related = bestOf(context, scope, relatedGuesses(best, scope), log10Claim);
  return related !== null && related.log10Support < best.log10Support ? related : best;
}

function bestOf(
  context: SearchContext,
  scope: SearchScope,
  guesses: readonly Guess[],
  log10Claim: number,
): SupportedComb | null {
  let best: SupportedComb | null = null;
  const tried: Guess[] = [];
  for (const guess of guesses) {
    if (tried.length >= GUESSES_CHECKED) break;
    if (tried.some((other) => Math.abs(other.fundamentalHz - guess.fundamentalHz) <= 3 * guess.sigmaHz)) continue;
    tried.push(guess);
    const comb = supportComb(context, scope, guess.fundamentalHz, guess.sigmaHz);
    if (comb.log10Chance < log10Claim && (best === null || comb.log10Support < best.log10Support)) best = comb;
  }
  return best;
}

/** For each cell of a regular grid the first active line at or above it, and the next active line after each line. */
interface LineIndex {
  readonly order: Int32Array;
  readonly frequencyHz: Float64Array;
  readonly first: Int32Array;
  readonly cellHz: number;
}

function indexLines({ lines, active, spanLowHz, spanHighHz }: SearchContext): LineIndex {
  const order = Int32Array.from({ length: lines.count }, (_, i) => i).filter((i) => active[i] === 1);
  const frequencyHz = Float64Array.from(order, (i) => lines.frequencyHz[i]!);
  const cells = Math.max(16, 4 * order.length);
  const cellHz = (spanHighHz - spanLowHz) / cells;
  const first = Int32Array.from({ length: cells + 1 }, (_, c) => lowerBound(frequencyHz, spanLowHz + c * cellHz));
  return { order, frequencyHz, first, cellHz };
}

/** Largest sum of log likelihood ratios over a run of harmonics: a cheap order of the guesses, not a statement of chance. */
function quickScore(context: SearchContext, index: LineIndex, gain: Float64Array, guess: Guess): number {
  const { lines, matchSigma, spanLowHz, spanHighHz } = context;
  const { order, frequencyHz, first, cellHz } = index;
  const { fundamentalHz, sigmaHz, anchor } = guess;
  const size = order.length;

  /** Gain of the nearest line to a harmonic, or NaN where none lies within the match window. */
  const gainAt = (n: number): number => {
    const x = n * fundamentalHz;
    const spread = n * sigmaHz;
    const cell = Math.floor((x - spanLowHz) / cellHz);
    if (cell < 0 || cell >= first.length) return NaN;
    let j = first[cell]!;
    while (j < size && frequencyHz[j]! < x) j++;
    let nearest = j < size ? j : size - 1;
    if (j > 0 && j < size && x - frequencyHz[j - 1]! < frequencyHz[j]! - x) nearest = j - 1;
    if (nearest < 0) return NaN;
    const line = order[nearest]!;
    const sigma = lines.sigmaHz[line]!;
    const off = frequencyHz[nearest]! - x;
    return off * off <= matchSigma * matchSigma * (sigma * sigma + spread * spread) ? gain[line]! : NaN;
  };

  // a comb that shows at its anchor shows at two of the eight harmonics around it, or is not worth a full look
  let around = 0;
  for (let d = 1; d <= 4; d++) {
    if (!Number.isNaN(gainAt(anchor + d))) around++;
    if (anchor > d && !Number.isNaN(gainAt(anchor - d))) around++;
  }
  if (around < 2) return 0;
  const lowest = Math.max(1, Math.ceil(spanLowHz / fundamentalHz));
  // far above the anchor its error has grown past use: the refinement reaches there, this need not
  const highest = Math.min(
    Math.floor(spanHighHz / fundamentalHz),
    Math.max(anchor, Math.floor((0.05 * fundamentalHz) / sigmaHz)),
  );
  let sum = 0;
  let best = 0;
  for (let n = lowest; n <= highest; n++) {
    const g = gainAt(n);
    sum = Math.max(0, sum) + (Number.isNaN(g) ? MISS : g);
    if (sum > best) best = sum;
  }
  return best;
}

/** Log likelihood ratio of a tooth that is not seen. */
const MISS = Math.log(0.25);
