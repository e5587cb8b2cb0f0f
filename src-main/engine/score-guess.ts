import type { GuessScore } from '../model/guess-score.ts';
import type { Spur } from '../model/spur.ts';
import { logBinomialTail } from './numeric/binomial-tail.ts';

export interface GuessInput {
  readonly spurs: readonly Spur[];
  readonly startHz: number;
  readonly stopHz: number;
  /** Distance of the trace's points: a line is never placed better by hand than this. */
  readonly spacingHz: number;
  readonly fundamentalHz: number;
}

const SIGMAS = 3;
/** With a reach wider than this share of the fundamental everything would be seen. */
const WIDEST_REACH = 0.25;

/**
 * Scores one guess.
 *
 * reach = the larger of the point spacing and three median standard deviations of the lines, at most a quarter of the fundamental. With p the
 * share of the span within reach of any line, the number seen of `expected` is Binomial(expected, p) for a comb put down at random
 * (the counting of the literature on chance coincidence: p = 1 − exp(−2 w λ) for lines at random, here the share itself).
 * The fit: f = Σ n f_i/σ_i² ⁄ Σ n²/σ_i², σ = 1/√Σ n²/σ_i².
 */
export function scoreGuess({ spurs, startHz, stopHz, spacingHz, fundamentalHz }: GuessInput): GuessScore {
  const sigmas = spurs.map(({ frequencySigmaHz }) => frequencySigmaHz).sort((a, b) => a - b);
  const median = sigmas[sigmas.length >> 1] ?? spacingHz;
  const reachHz = Math.min(Math.max(spacingHz, SIGMAS * median), WIDEST_REACH * fundamentalHz);
  const first = Math.max(1, Math.ceil(startHz / fundamentalHz));
  const last = Math.floor(stopHz / fundamentalHz);
  const nearest = new Map<number, Spur>();
  for (const spur of spurs) {
    const n = Math.round(spur.frequencyHz / fundamentalHz);
    const off = Math.abs(spur.frequencyHz - n * fundamentalHz);
    if (n < first || n > last || off > reachHz) continue;
    const known = nearest.get(n);
    if (known === undefined || off < Math.abs(known.frequencyHz - n * fundamentalHz)) nearest.set(n, spur);
  }
  const harmonicsSeen = [...nearest.keys()].sort((a, b) => a - b);
  const expected = Math.max(0, last - first + 1);
  const share = shareWithin(spurs, reachHz, startHz, stopHz);
  let [weighted, weights] = [0, 0];
  for (const [n, { frequencyHz, frequencySigmaHz }] of nearest) {
    const weight = 1 / frequencySigmaHz ** 2;
    weighted += n * frequencyHz * weight;
    weights += n * n * weight;
  }
  const isFitted = nearest.size >= 2 && Number.isFinite(weighted / weights);
  return {
    fundamentalHz,
    harmonicsSeen,
    expected,
    lastHarmonic: expected === 0 ? 0 : last,
    reachHz,
    chance: Math.exp(logBinomialTail(harmonicsSeen.length, expected, share)),
    fittedHz: isFitted ? weighted / weights : null,
    fittedSigmaHz: isFitted ? 1 / Math.sqrt(weights) : null,
  };
}

function shareWithin(spurs: readonly Spur[], reachHz: number, startHz: number, stopHz: number): number {
  let covered = 0;
  let at = startHz;
  const places = spurs.map(({ frequencyHz }) => frequencyHz).sort((a, b) => a - b);
  for (const frequencyHz of places) {
    const from = Math.max(at, frequencyHz - reachHz);
    const to = Math.min(stopHz, frequencyHz + reachHz);
    if (to > from) covered += to - from;
    at = Math.max(at, to);
  }
  return stopHz > startHz ? covered / (stopHz - startHz) : 1;
}
