import type { Plan, PlannedSource, SourceSetting } from '../../model/plan.ts';
import type { Source } from '../../model/source.ts';
import { hasBit } from '../numeric/bitset.ts';
import type { ChannelGrid } from './channel-grid.ts';
import { blursFrom, frequencyRangeOf } from './frequency-range.ts';
import { sameChoice, type Assignment, type Option, type PlanProblem } from './plan-problem.ts';

/** What an assignment costs, source by source and band by band. */
export function describePlan(problem: PlanProblem, assignment: Assignment): Plan {
  const options = problem.options(assignment);
  const { grid } = problem;
  const union = problem.union(options);
  const owners = ownersOf(grid, options);
  const bands = grid.bands.map(({ band, firstBit, channels }) => {
    let lost = 0;
    for (let i = firstBit; i < firstBit + channels; i++) if (hasBit(union, i)) lost++;
    return { name: band.name, channels, lost };
  });
  return {
    settings: options.map((option, i) => settingOf(problem, i, option)),
    changes: assignment.filter((choice, i) => !sameChoice(choice, problem.today[i]!)).length,
    lostWeight: problem.weigh(options),
    lostChannels: bands.reduce((sum, { lost }) => sum + lost, 0),
    bands,
    sources: problem.sources.map((source, i) => describeSource(problem, source, i, options[i]!, owners, assignment)),
  };
}

function describeSource(
  problem: PlanProblem,
  source: Source,
  place: number,
  option: Option,
  owners: Uint16Array,
  assignment: Assignment,
): PlannedSource {
  let sole = 0;
  let shared = 0;
  for (const { firstBit, channels } of problem.grid.bands)
    for (let i = firstBit; i < firstBit + channels; i++) {
      if (!hasBit(option.bits, i)) continue;
      if (owners[i] === 1) sole++;
      else shared++;
    }
  const { root } = problem.resolve(place, assignment);
  const { toleranceStated } = frequencyRangeOf(problem.sources[root]!, problem.settings.temperatureSpanK);
  const blurs = blursFrom(option.halfWidth);
  const topHz = Math.max(...problem.grid.bands.map(({ band }) => band.highHz));
  const reaches = blurs !== null && blurs <= (source.maxHarmonic ?? Infinity);
  return {
    source: source.designator,
    soleChannels: sole,
    sharedChannels: shared,
    // 1e-6 and back leaves a last digit that nobody stated
    halfWidthPpm: Number((option.halfWidth * 1e6).toPrecision(12)),
    toleranceStated,
    blursFromHarmonic: blurs,
    blursInBand: reaches && blurs * option.frequencyHz < topHz,
    changed: !sameChoice(assignment[place]!, problem.today[place]!),
  };
}

/** How many sources take each channel. */
export function ownersOf(grid: ChannelGrid, options: readonly Pick<Option, 'bits'>[]): Uint16Array {
  const owners = new Uint16Array(grid.words * 32);
  for (const { bits } of options)
    for (let word = 0; word < grid.words; word++)
      for (let rest = bits[word]!; rest !== 0; rest &= rest - 1) owners[word * 32 + 31 - Math.clz32(rest & -rest)]!++;
  return owners;
}

export function settingOf(problem: PlanProblem, place: number, { choice, frequencyHz }: Option): SourceSetting {
  const isLocked = choice.kind === 'locked';
  return {
    source: problem.sources[place]!.designator,
    nominalHz: frequencyHz,
    lockedTo: isLocked ? problem.sources[choice.to]!.designator : null,
    lockNumerator: isLocked ? choice.numerator : null,
    lockDenominator: isLocked ? choice.denominator : null,
  };
}
