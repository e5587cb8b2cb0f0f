import type { CombBelow } from '../../model/comb-below.ts';
import type { Comb } from '../../model/comb.ts';
import type { Source } from '../../model/source.ts';
import { driftOf, type Drift } from './drift.ts';
import { fundamentalOf } from './fundamental-of.ts';
import { residualOf, type Residual } from './residual.ts';
import { searchAll } from './search-sources.ts';
import {
  decibels,
  estimateOf,
  estimateText,
  harmonicsText,
  limitText,
  NO_ESTIMATE,
  nothing,
  type Stated,
} from './say-stack.ts';
import type { BelowInput } from './below-input.ts';
import { teethOf, WIDEST_TOOTH, type Subject } from './subject.ts';
import { limitOf, stackTeeth } from './stack.ts';
import { stackLaw, type StackLaw } from './stack-law.ts';
import type { Tooth } from './tooth.ts';

/**
 * Stacks what is left of a trace at the predicted harmonics of every claimed comb and of every running source without one.
 *
 * 1. Lines, with their skirts, and the teeth of other claimed combs are left out. 2. At each harmonic a line of the filter's shape is fitted to
 * the free points, less their local mean. 3. The mean over harmonics, weighted by the inverse variance that the trace's own scatter
 * gives, stands over chance or bounds the comb; N harmonics of K averages see √(N·K) times deeper than one look (radiometer law).
 * 4. Where the fundamental is not known every place in the tolerance is tried, and the tries are counted.
 *
 * The law of the averaging (powers, decibels, held) turns the mean rise into a line power; outside power averaging this is the power of equal
 * lines that give the same rise. Nothing is stated where points lie farther apart than the bandwidth. Empty where minima were kept, or fewer than eight points have a level.
 */
export function stackBelow(input: BelowInput): CombBelow[] {
  const { frequencyHz, floor, settings, combs } = input;
  const law = stackLaw(settings, floor);
  if (law === null || frequencyHz.length < 64) return [];
  if (isCoarse(input)) return unstacked(input);
  const drifts = combs.map((comb) => driftOf(comb, input.explanations));
  const residual = residualOf({ ...input, law, combOf: combsOf(input), teeth: claimedTeeth(input, drifts) });
  const out = combs.map((comb, c) => stackClaimed(input, residual, law, comb, c, drifts[c]!));

  const waiting = waitingSources(input);
  const searched: { source: Source; lowHz: number; highHz: number }[] = [];
  for (const source of waiting) {
    const fundamental = fundamentalOf(source, input.sources, combs, input.axisPpm);
    if (fundamental.how === 'lock') out.push(stackLocked(input, residual, law, source, fundamental));
    else searched.push({ source, ...fundamental });
  }
  if (searched.length > 0) out.push(...searchAll(input, residual, law, searched));
  return out;
}

/** Running sources that no claimed comb is, or could be. */
function waitingSources({ combs, sources, sourcesOff }: BelowInput): Source[] {
  const claimed = new Set(combs.flatMap((comb) => (comb.source === null ? comb.couldAlsoBe : [comb.source])));
  return sources.filter(({ designator }) => !claimed.has(designator) && !sourcesOff.includes(designator));
}

/** Points this many bandwidths apart let lines through between them. As the search for lines takes it. */
const COARSE = 1.05;

function isCoarse({ frequencyHz, settings }: BelowInput): boolean {
  const last = frequencyHz.length - 1;
  return settings.rbwHz !== null && (frequencyHz[last]! - frequencyHz[0]!) / last > COARSE * settings.rbwHz;
}

/**
 * Between coarse points a line's power is lost, and a line that luck put on a point has been found and left out: in seeded captures only a third of
 * such limits lay above the truth, so none is stated.
 */
function unstacked(input: BelowInput): CombBelow[] {
  const why = 'Points lie farther apart than the resolution bandwidth: what lines between them hold cannot be stacked.';
  return [
    ...input.combs.map(({ source, couldAlsoBe }) => nothing({ source, couldAlsoBe, trials: 0 }, why)),
    ...waitingSources(input).map(({ designator }) => nothing({ source: designator, couldAlsoBe: [], trials: 0 }, why)),
  ];
}

function stackClaimed(
  input: BelowInput,
  residual: Residual,
  law: StackLaw,
  comb: Comb,
  c: number,
  drift: Drift,
): CombBelow {
  const source = input.sources.find(({ designator }) => designator === comb.source);
  const subject: Subject = {
    hz: comb.fundamentalHz,
    sigmaHz: comb.fundamentalSigmaHz,
    spreadPpm: source?.spreadPpm ?? 0,
    drift,
    own: c + 1,
    maxHarmonic: source?.maxHarmonic ?? Infinity,
    only: null,
  };
  const stated = { source: comb.source, couldAlsoBe: comb.couldAlsoBe, trials: 1 };
  const known = 'its lines tell the fundamental';
  return sayKnown(input, law, subject, teethOf(input, residual, subject), stated, known);
}

function stackLocked(
  input: BelowInput,
  residual: Residual,
  law: StackLaw,
  source: Source,
  { hz, sigmaHz, by }: { hz: number; sigmaHz: number; by: string },
): CombBelow {
  const subject: Subject = {
    hz,
    sigmaHz,
    spreadPpm: source.spreadPpm ?? 0,
    drift: null,
    own: 0,
    maxHarmonic: source.maxHarmonic ?? Infinity,
    only: null,
  };
  const stated = { source: source.designator, couldAlsoBe: [], trials: 1 };
  return sayKnown(
    input,
    law,
    subject,
    teethOf(input, residual, subject),
    stated,
    `its lock to ${by} tells the fundamental`,
  );
}

function sayKnown(
  input: BelowInput,
  law: StackLaw,
  subject: Subject,
  teeth: readonly Tooth[],
  stated: Stated,
  known: string,
): CombBelow {
  if (teeth.length === 0)
    return nothing(
      stated,
      'Every harmonic in the span is covered by a line, by another comb’s tooth or by doubt about its place.',
    );
  const stack = stackTeeth(teeth, law);
  const upperDb = decibels(limitOf(stack.rise, stack.sigma, law, stack.solve));
  const seen = stack.tail < input.claimChance && stack.signal > 0;
  return {
    ...stated,
    fundamentalHz: subject.hz,
    fundamentalSigmaHz: subject.sigmaHz,
    harmonicsStacked: teeth.length,
    ...(seen ? estimateOf(stack, input.floor) : NO_ESTIMATE),
    upperLimitOverFloorDb: upperDb,
    chance: stack.tail,
    why: `${harmonicsText(teeth.length)} without a line of their own, stacked where ${known}: ${
      seen ? estimateText(stack, law) : `no better than chance; ${limitText(upperDb, law)}`
    }.`,
  };
}

/** For each spur the comb whose harmonic it is said to be (index + 1), 0 for none, −1 where it belongs to something else or to several. */
function combsOf({ explanations, spurs, combs }: BelowInput): number[] {
  return spurs.map((_, i) => {
    const explanation = explanations[i];
    if (explanation === undefined || explanation.cause === 'unexplained') return 0;
    const first = explanation.candidates[0];
    if (explanation.cause !== 'source' || first === undefined) return -1;
    const comb = combs.findIndex(({ source }) => source === first.source);
    return comb === -1 ? -1 : comb + 1;
  });
}

/** Places of all claimed combs with the half-width to be left to them. */
function claimedTeeth({ combs, frequencyHz, lineWidthHz }: BelowInput, drifts: readonly Drift[]) {
  const stopHz = frequencyHz[frequencyHz.length - 1]!;
  return combs.flatMap((comb, c) =>
    comb.harmonicsExpected.flatMap((n) => {
      const hz = drifts[c]!.hzOf(n);
      const sigmaHz = n * comb.fundamentalSigmaHz;
      // a tooth that may be anywhere is not kept free
      if (hz > stopHz || 3 * sigmaHz > WIDEST_TOOTH * comb.fundamentalHz) return [];
      return [{ comb: c, hz, halfHz: 1.2 * lineWidthHz + 2 * sigmaHz }];
    }),
  );
}
