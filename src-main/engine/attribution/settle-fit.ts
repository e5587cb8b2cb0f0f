import { fitComb, predictHz, type CombFit } from './comb-fit.ts';
import {
  chanceOf,
  DRIFT_GAIN,
  isSeenAround,
  LARGEST_DRIFT,
  matchHarmonics,
  shareSeenAround,
  type SearchContext,
} from './comb-support.ts';
import { contextOf, unexplainedLines, type AcceptedComb, type SelectionInput } from './selection.ts';

/** Lines up to this many standard deviations off are weighed: a fit that wrong matches have bent lies that far from its true lines. */
const WIDEST_SIGMA = 5;
/** One tooth in twenty has run together with a line beside it and stands anywhere within three bandwidths. A choice of this tool. */
const DISTURBED_SHARE = 0.05;
const DISTURBED_RBW = 3;
/** No comb is so surely seen that a match could not be an accident. A choice of this tool. */
const SUREST = 0.95;
const ROUNDS = 2;
const STEPS = 12;
/** A step by less than this share of the stated uncertainty is the last. */
const SETTLED_SIGMA = 0.01;
/** Starts no further apart than this lead to the same place. */
const SAME_START_SIGMA = 0.5;
/** Fewer matches than this do not tell true ones from accidents. A choice of this tool. */
const FEWEST = 5;

/**
 * Fits each comb of the final list anew, to the lines that the others leave, so that no wrong match bends it.
 *
 * A least-squares fit goes by its lever: one strong foreign line at harmonic 300 outweighs fifty true teeth below 100. Here each match is a
 * tooth or an accident. It is a tooth with the probability that the comb shows around it, and then off by its own error; else some
 * line of nobody (their density around) or a tooth displaced by a neighbour. The fundamental of highest likelihood is climbed to from the fit
 * as it is and from the weighted median of frequency over harmonic number, which bears up to half of the lever being wrong (Bloomfield &
 * Steiger 1983, least absolute deviations through the origin; from memory), each step a fit weighted by the probability of being a tooth
 * (expectation maximisation: Dempster, Laird & Rubin 1977). A drift within the sweep is kept where it still explains far more.
 *
 * A fit that loses the claim is not taken. Combs of fewer than five matches stay as they are.
 */
export function settleFits(input: SelectionInput, combs: readonly AcceptedComb[]): AcceptedComb[] {
  return combs.map((accepted) => {
    const others = combs.filter((comb) => comb !== accepted);
    return settle(contextOf(input, unexplainedLines(input, others)), accepted, Math.log10(input.claimChance));
  });
}

function settle(context: SearchContext, accepted: AcceptedComb, log10Claim: number): AcceptedComb {
  const { comb, scope } = accepted;
  let { fit } = comb;
  for (let round = 0; round < ROUNDS; round++) {
    const teeth = possibleTeeth(context, fit, scope.maxHarmonic);
    if (teeth.harmonics.length < FEWEST) return accepted;
    const middleHz = medianFundamental(teeth);
    const isSame = fit.slope === 0 && Math.abs(middleHz - fit.fundamentalHz) <= SAME_START_SIGMA * fit.sigmaHz;
    const starts = isSame ? [fit] : [fit, { ...fit, fundamentalHz: middleHz, slope: 0 }];
    const [plain, drifting] = [false, true].map((withSlope) =>
      withSlope && !scope.mayDrift ? null : best(starts.map((start) => climb(teeth, start, withSlope))),
    );
    const drifts =
      drifting != null &&
      2 * (drifting.logLikelihood - plain!.logLikelihood) > DRIFT_GAIN &&
      Math.abs(drifting.fit.slope) < LARGEST_DRIFT;
    fit = (drifts ? drifting : plain!).fit;
  }
  if (fit.fundamentalHz < scope.lowHz || fit.fundamentalHz > scope.highHz) return accepted;
  const state = matchHarmonics(context, fit, scope.maxHarmonic);
  const chance = chanceOf(context, scope, fit, state.firstHarmonic, state.matches);
  return chance.log10Chance < log10Claim ? { ...accepted, comb: { fit, ...state, ...chance } } : accepted;
}

/** Matches with what is known of each before it is compared with a fit. */
interface PossibleTeeth {
  readonly context: SearchContext;
  readonly harmonics: number[];
  readonly matched: number[];
  /** Probability that the comb shows there. */
  readonly shows: number[];
  /** Density of lines that are no tooth in its place, per Hz. */
  readonly otherPerHz: number[];
}

function possibleTeeth(context: SearchContext, fit: CombFit, maxHarmonic: number): PossibleTeeth {
  const { lines, coverage } = context;
  const wide = { ...context, matchSigma: Math.max(context.matchSigma, WIDEST_SIGMA) };
  const { firstHarmonic, matches } = matchHarmonics(wide, fit, maxHarmonic);
  const teeth: PossibleTeeth = { context, harmonics: [], matched: [], shows: [], otherPerHz: [] };
  const disturbedPerHz = DISTURBED_SHARE / (DISTURBED_RBW * lines.resolutionHz);
  for (let j = 0; j < matches.length; j++) {
    if (matches[j]! < 0 || !isSeenAround(matches, j)) continue;
    const shows = Math.min(SUREST, shareSeenAround(matches, j));
    teeth.harmonics.push(firstHarmonic + j);
    teeth.matched.push(matches[j]!);
    teeth.shows.push(shows);
    teeth.otherPerHz.push((1 - shows) * coverage.densityAt(lines.frequencyHz[matches[j]!]!) + shows * disturbedPerHz);
  }
  return teeth;
}

/** Median of frequency over harmonic number, each weighted by its lever: the fit of least absolute deviations through zero. */
function medianFundamental({ context: { lines }, harmonics, matched }: PossibleTeeth): number {
  const ratios = harmonics
    .map((n, j) => ({ hz: lines.frequencyHz[matched[j]!]! / n, lever: n / lines.sigmaHz[matched[j]!]! }))
    .sort((a, b) => a.hz - b.hz);
  let left = ratios.reduce((sum, { lever }) => sum + lever, 0) / 2;
  for (const { hz, lever } of ratios) if ((left -= lever) <= 0) return hz;
  return NaN; // never without matches
}

interface Climbed {
  readonly fit: CombFit;
  readonly logLikelihood: number;
}

function climb(teeth: PossibleTeeth, start: CombFit, withSlope: boolean): Climbed {
  const { context, harmonics, matched, shows, otherPerHz } = teeth;
  const { frequencyHz, sigmaHz } = context.lines;
  const shares = new Float64Array(harmonics.length);
  const weigh = (fit: CombFit): number => {
    let logLikelihood = 0;
    for (let j = 0; j < harmonics.length; j++) {
      const sigma = sigmaHz[matched[j]!]!;
      const z = (frequencyHz[matched[j]!]! - predictHz(fit, harmonics[j]!)) / sigma;
      const tooth = (shows[j]! * Math.exp((-z * z) / 2)) / (Math.sqrt(2 * Math.PI) * sigma);
      const either = tooth + otherPerHz[j]!;
      shares[j] = tooth / either;
      logLikelihood += Math.log(either);
    }
    return logLikelihood;
  };
  let fit = withSlope ? start : { ...start, slope: 0 };
  let logLikelihood = weigh(fit);
  for (let step = 0; step < STEPS; step++) {
    const next = fitComb(context.lines, harmonics, matched, withSlope, start.midHz, start.spanHz, shares);
    if (!Number.isFinite(next.fundamentalHz)) break;
    const settled =
      Math.abs(next.fundamentalHz - fit.fundamentalHz) <= SETTLED_SIGMA * next.sigmaHz &&
      Math.abs(next.slope - fit.slope) <= SETTLED_SIGMA * next.slopeSigma;
    fit = next;
    logLikelihood = weigh(fit);
    if (settled) break;
  }
  return { fit, logLikelihood };
}

function best(climbed: readonly Climbed[]): Climbed {
  return climbed.reduce((one, other) => (other.logLikelihood > one.logLikelihood ? other : one));
}
