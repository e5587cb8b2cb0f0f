import type { CombBelow } from '../../model/comb-below.ts';
import type { Source } from '../../model/source.ts';
import type { BelowInput } from './below-input.ts';
import type { Residual } from './residual.ts';
import {
  decibels,
  estimateOf,
  estimateText,
  harmonicsText,
  limitText,
  NO_ESTIMATE,
  nothing,
  plain,
} from './say-stack.ts';
import { FEWEST_TEETH, MatchedTrace } from './search-fundamental.ts';
import { withoutShadows } from './shadows.ts';
import { limitOf, stackTeeth, type Stack } from './stack.ts';
import type { StackLaw } from './stack-law.ts';
import { teethOf, type Subject } from './subject.ts';

/** Of a search: neighbouring trials are refined between their steps, which tries about three times as many. */
const REFINED = 3;
/** … by halving the step this often: to a sixty-fourth of the line width at the highest harmonic. */
const HALVINGS = 5;
/** A comb whose teeth off every second, third … fifth are not seen by themselves is a comb of that multiple. */
const SUBLATTICE_PRIMES = [2, 3, 5] as const;
/** Chance above which teeth off a sublattice are taken not to be there. A choice of this tool. */
const OFF_LATTICE_CHANCE = 0.01;

/** Stacks sources whose fundamental nobody knows, each at the best place of its range, and says of the range what can be said. */
export function searchAll(
  input: BelowInput,
  residual: Residual,
  law: StackLaw,
  searched: readonly { source: Source; lowHz: number; highHz: number }[],
): CombBelow[] {
  const { frequencyHz } = input;
  if (!isEven(frequencyHz))
    return searched.map(({ source }) =>
      nothing(
        plain(source),
        'Its fundamental is not known, and the points of this capture are too unevenly spaced to search for it.',
      ),
    );
  let matched: MatchedTrace | null = null;
  const stacked = searched.map(({ source, lowHz, highHz }): CombBelow => {
    if (lowHz > frequencyHz[frequencyHz.length - 1]!)
      return nothing(plain(source), 'Its fundamental lies above the span.');
    if (lowHz < 3 * input.lineWidthHz)
      return nothing(plain(source), 'Its teeth are closer than three line widths and cannot be told apart.');
    if ((source.spreadPpm ?? 0) * 1e-6 * frequencyHz[frequencyHz.length - 1]! > input.lineWidthHz)
      return nothing(
        plain(source),
        'Its fundamental is not known and its modulation smears its harmonics: no search is made.',
      );
    matched ??= new MatchedTrace(residual);
    const maxHarmonic = source.maxHarmonic ?? Infinity;
    const found = matched.search({ lowHz, highHz, maxHarmonic });
    if (found === null)
      return nothing(plain(source), 'Fewer than three of its harmonics fall on free places of the span.');
    const stackAt = (hz: number, only: Subject['only'] = null) => {
      const subject: Subject = {
        hz,
        sigmaHz: 0,
        spreadPpm: 0,
        drift: null,
        own: 0,
        maxHarmonic: Math.min(maxHarmonic, found.highestHarmonic),
        only,
      };
      const teeth = teethOf(input, residual, subject);
      return teeth.length < FEWEST_TEETH ? null : stackTeeth(teeth, law);
    };
    // between the steps of the search: halve the step about the best so far
    let bestHz = found.bestHz;
    let best = stackAt(bestHz);
    let stepHz = (highHz - lowHz) / Math.max(1, found.trials - 1) / 2;
    for (let round = 0; round < HALVINGS; round++, stepHz /= 2)
      for (const hz of [bestHz - stepHz, bestHz + stepHz]) {
        const stack = stackAt(hz);
        if (stack !== null && (best === null || stack.rise / stack.sigma > best.rise / best.sigma))
          [best, bestHz] = [stack, hz];
      }
    const loosest = stackAt(found.loosestHz) ?? best;
    if (best === null || loosest === null)
      return nothing(plain(source), 'Fewer than three of its harmonics fall on free places of the span.');
    const limit = Math.max(
      limitOf(loosest.rise, loosest.sigma, law, loosest.solve),
      limitOf(best.rise, best.sigma, law, best.solve),
    );
    const upperDb = decibels(limit / found.kept);
    const trials = found.trials === 1 ? 1 : REFINED * found.trials;
    const chance = Math.min(1, searched.length * trials * best.tail);
    const stated = { ...plain(source), trials };
    const unseen = (why: string): CombBelow => ({
      ...stated,
      fundamentalHz: null,
      fundamentalSigmaHz: null,
      harmonicsStacked: best.teeth,
      ...NO_ESTIMATE,
      upperLimitOverFloorDb: upperDb,
      chance,
      why: `${why}; wherever in its tolerance it runs, ${limitText(upperDb, law)}.`,
    });
    if (chance >= input.claimChance || best.signal === 0)
      return unseen(`Of ${trials} fundamentals tried none stacks better than chance over ${harmonicsText(best.teeth)}`);
    const off = SUBLATTICE_PRIMES.some((q) => {
      const stack = stackAt(bestHz, (n) => n % q !== 0);
      return stack === null || stack.tail > OFF_LATTICE_CHANCE;
    });
    if (off)
      return unseen(
        'What stacks there is every second, third or fifth harmonic only: another comb’s, of a multiple of the fundamental',
      );
    const between = stackAt(bestHz / 2, (n) => n % 2 === 1);
    if (between !== null && between.tail < OFF_LATTICE_CHANCE)
      return unseen(
        'What stacks there stacks half-way between the harmonics too: another comb’s, of half the fundamental',
      );
    const couldAlsoBe = searched.flatMap((other) =>
      other.source !== source && bestHz >= other.lowHz && bestHz <= other.highHz ? [other.source.designator] : [],
    );
    return {
      ...stated,
      couldAlsoBe,
      fundamentalHz: bestHz,
      fundamentalSigmaHz: fundamentalSigma(best, bestHz, input, found.highestHarmonic),
      harmonicsStacked: best.teeth,
      ...estimateOf(best, input.floor),
      upperLimitOverFloorDb: upperDb,
      chance,
      why: `${harmonicsText(best.teeth)} without a line of their own, stacked at the best of ${trials} fundamentals tried: ${estimateText(best, law)}${
        couldAlsoBe.length > 0 ? `; the fundamental could also be that of ${couldAlsoBe.join(', ')}` : ''
      }.`,
    };
  });
  return withoutShadows(stacked, law);
}

/** How well the stack itself tells the fundamental: each tooth tells its centre to width/√(4 ln 2)/(S/σ), over n. */
function fundamentalSigma(stack: Stack, hz: number, { frequencyHz, lineWidthHz }: BelowInput, highest: number): number {
  const first = Math.max(1, Math.ceil(frequencyHz[0]! / hz));
  const last = Math.min(highest, Math.floor(frequencyHz[frequencyHz.length - 1]! / hz));
  const meanSquare =
    (last * (last + 1) * (2 * last + 1) - (first - 1) * first * (2 * first - 1)) / 6 / (last - first + 1);
  return lineWidthHz / Math.sqrt(4 * Math.LN2 * meanSquare) / Math.max(1, stack.rise / stack.sigma);
}

/** Every point where a constant spacing puts it, to a tenth of it. */
function isEven(frequencyHz: Float64Array): boolean {
  const n = frequencyHz.length;
  const spacingHz = (frequencyHz[n - 1]! - frequencyHz[0]!) / (n - 1);
  for (let i = 0; i < n; i++)
    if (Math.abs(frequencyHz[0]! + i * spacingHz - frequencyHz[i]!) > 0.1 * spacingHz) return false;
  return true;
}
