import type { CommonClock } from '../../model/plan.ts';
import { addBits, countBits, weighBits } from '../numeric/bitset.ts';
import type { ChannelGrid } from './channel-grid.ts';
import { combChannels } from './comb-channels.ts';
import type { Choice, PlanProblem } from './plan-problem.ts';
import type { SourceChoices } from './source-choices.ts';

/** A new crystal clock is taken to lie within ± this: common practice, no source (see source-defaults.ts). */
const CLOCK_PPM = 100;
/** Clocks above this are not offered: dividers and their edges become a problem of their own. A choice of this tool. */
const HIGHEST_CLOCK_HZ = 200e6;
const LARGEST_DIVIDER = 4096;
const SHOWN = 3;
/** Spacings tried: steps of 0.5 % over the range. */
const SPACING_STEP = 1.005;

/**
 * Clocks that the register does not have, from which all changeable sources could be divided by whole numbers.
 *
 * All lines of such sources are multiples of one spacing g: the sources run at k g with small whole k, the clock at a multiple of all k.
 * For each g, among them multiples of the channel widths, the k of each source is chosen where it adds least. The clock's own harmonics are counted.
 *
 * @returns the best ones, no two of the same frequency; none with fewer than two changeable sources
 */
export function commonClocks(
  problem: PlanProblem,
  { changeable }: SourceChoices,
  isStopped: () => boolean,
): CommonClock[] {
  const free = changeable.filter((place) => problem.sources[place]!.kind !== 'clock');
  if (free.length < 2) return [];
  const { grid } = problem;
  const fixed = problem.union(fixedOptions(problem, free));
  const ranges = free.map((place) => problem.sources[place]!.adjust!);
  const lowHz = Math.min(...ranges.map((range) => range.lowHz)) / 16;
  const highHz = Math.min(...ranges.map((range) => range.highHz));
  const found: CommonClock[] = [];
  for (const g of spacings(grid, lowHz, highHz)) {
    if (isStopped()) break;
    const multiples: number[] = [];
    const union = fixed.slice();
    for (const [i, place] of free.entries()) {
      let [best, least]: [{ k: number; bits: Uint32Array } | null, number] = [null, Infinity];
      const { lowHz: from, highHz: to } = ranges[i]!;
      for (let k = Math.max(1, Math.ceil(from / g - 1e-9)); k <= Math.min(to / g + 1e-9, 64); k++) {
        // not by problem.channelsAt, which would keep some hundred thousand combs that nobody asks for again
        const { maxHarmonic } = problem.sources[place]!;
        const bits = combChannels(
          { frequencyHz: k * g, halfWidth: CLOCK_PPM * 1e-6, maxHarmonic },
          grid,
          problem.settings,
        );
        const weight = weighBits(bits, union, grid.weightOfWord);
        if (weight < least) [best, least] = [{ k, bits }, weight];
      }
      if (best === null) break;
      multiples.push(best.k);
      addBits(union, best.bits);
    }
    if (multiples.length < free.length) continue;
    const clock = multiples.reduce(leastCommonMultiple, 1);
    if (clock * g > HIGHEST_CLOCK_HZ || clock / Math.min(...multiples) > LARGEST_DIVIDER) continue;
    const own = { frequencyHz: clock * g, halfWidth: CLOCK_PPM * 1e-6, maxHarmonic: null };
    addBits(union, combChannels(own, grid, problem.settings));
    found.push({
      clockHz: clock * g,
      spacingHz: g,
      dividers: free.map((place, i) => ({
        source: problem.sources[place]!.designator,
        divider: clock / multiples[i]!,
        frequencyHz: multiples[i]! * g,
      })),
      lostWeight: weighBits(union, new Uint32Array(grid.words), grid.weightOfWord),
      lostChannels: countBits(union),
    });
  }
  found.sort((a, b) => a.lostWeight - b.lostWeight || a.clockHz - b.clockHz);
  const shown: CommonClock[] = [];
  for (const one of found) {
    if (shown.length === SHOWN) break;
    if (shown.every((other) => isOther(other, one))) shown.push(one);
  }
  return shown;
}

/**
 * Spacings to try, from high to low: even steps, and for each of them the nearest multiple of a band's channel width, since lines at multiples
 * of it all lie alike in their channels. Where the grid has centres at such multiples they lie on centres; an edge would cost two.
 */
function spacings(grid: ChannelGrid, lowHz: number, highHz: number): number[] {
  const found = new Set<number>();
  const widths = grid.bands.flatMap(({ band }) => (band.channelHz === null ? [] : [band.channelHz]));
  for (let g = highHz; g >= lowHz; g /= SPACING_STEP) {
    found.add(g);
    for (const width of widths) {
      const whole = Math.round(g / width) * width;
      if (whole >= lowHz && whole <= highHz) found.add(whole);
    }
  }
  return [...found].sort((a, b) => b - a);
}

/** The same frequencies may come from several spacings, and a spacing of half a per cent less is no other plan. */
function isOther(a: CommonClock, b: CommonClock): boolean {
  return a.dividers.some(({ frequencyHz }, i) => Math.abs(frequencyHz / b.dividers[i]!.frequencyHz - 1) > 0.02);
}

/** The sources that stay as they are. One that follows a changeable source is left with today's frequency. */
function fixedOptions(problem: PlanProblem, free: readonly number[]) {
  return problem.today.flatMap((choice: Choice, place) =>
    free.includes(place) ? [] : [problem.option(place, choice, problem.today)],
  );
}

function leastCommonMultiple(a: number, b: number): number {
  let [x, y] = [a, b];
  while (y !== 0) [x, y] = [y, x % y];
  return (a / x) * b;
}
