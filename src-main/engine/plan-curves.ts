import { addBits, countBits } from './numeric/bitset.ts';
import { channelGrid } from './planning/channel-grid.ts';
import { frequencyRangeOf } from './planning/frequency-range.ts';
import { PlanProblem, type Assignment } from './planning/plan-problem.ts';
import { assignmentOf } from './planning/settings-to-choices.ts';
import { SourceChoices } from './planning/source-choices.ts';
import type { LockPoint, PlanCurve, PlanMap } from '../model/plan-curve.ts';
import type { TryPlanInput } from './try-plan.ts';

/** A source without a range is shown this far to both sides of where it is. */
const AROUND = 0.1;

interface Opened {
  readonly problem: PlanProblem;
  readonly assignment: Assignment;
  readonly held: number;
  readonly placeOf: (source: string) => number;
}

function open({ sources, bands, settings, chosen, todayPpm }: TryPlanInput): Opened {
  const problem = new PlanProblem(sources, channelGrid(bands), settings, todayPpm);
  const clocks = sources.filter(({ kind, lock }) => kind === 'clock' && lock === null);
  const held = clocks.map((clock) => frequencyRangeOf(clock, settings.temperatureSpanK).halfWidth);
  return {
    problem,
    assignment: assignmentOf(problem, chosen),
    held: held.length === 0 ? 0 : Math.min(...held),
    placeOf: (source) => {
      const place = sources.findIndex(({ designator }) => designator === source);
      if (place < 0) throw new Error(`no source ${source}`);
      return place;
    },
  };
}

/** The cost of one source's frequency. `input` is sound: checked by tryPlan. */
export function planCurve(input: TryPlanInput, source: string, points: number): PlanCurve {
  const { problem, assignment, held, placeOf } = open(input);
  const place = placeOf(source);
  const rest = unionWithout(problem, assignment, [place]);
  const own = frequencyRangeOf(problem.sources[place]!, input.settings.temperatureSpanK).halfWidth;
  const frequencyHz = rangeOf(problem, place, assignment, points);
  const lostAt = (hz: number, halfWidth: number): number => {
    const bits = rest.slice();
    addBits(bits, problem.channelsAt(place, hz, halfWidth).bits);
    return countBits(bits);
  };
  const choices = new SourceChoices(problem);
  const locks = choices.of(place, assignment).flatMap((choice): LockPoint[] => {
    if (choice.kind === 'free') return [];
    const option = problem.option(place, choice, assignment);
    const { numerator, denominator, to } = choice;
    const lostChannels = lostAt(option.frequencyHz, option.halfWidth);
    return [
      { to: problem.sources[to]!.designator, numerator, denominator, frequencyHz: option.frequencyHz, lostChannels },
    ];
  });
  return {
    source,
    frequencyHz,
    freeChannels: Uint32Array.from(frequencyHz, (hz) => lostAt(hz, own)),
    freePpm: own * 1e6,
    heldChannels: Uint32Array.from(frequencyHz, (hz) => lostAt(hz, held)),
    heldPpm: held * 1e6,
    locks: locks.sort((a, b) => a.frequencyHz - b.frequencyHz),
  };
}

/** The cost of two sources' frequencies. `input` is sound: checked by tryPlan. */
export function planMap(input: TryPlanInput, first: string, second: string, columns: number, rows: number): PlanMap {
  const { problem, assignment, held, placeOf } = open(input);
  const [a, b] = [placeOf(first), placeOf(second)];
  const rest = unionWithout(problem, assignment, [a, b]);
  const firstHz = rangeOf(problem, a, assignment, columns);
  const secondHz = rangeOf(problem, b, assignment, rows);
  const bitsOf = (place: number, hz: Float64Array) => Array.from(hz, (at) => problem.channelsAt(place, at, held).bits);
  const [firstBits, secondBits] = [bitsOf(a, firstHz), bitsOf(b, secondHz)];
  const lostChannels = new Uint32Array(columns * rows);
  const row = new Uint32Array(rest.length);
  for (const [j, ofSecond] of secondBits.entries()) {
    for (let i = 0; i < row.length; i++) row[i] = rest[i]! | ofSecond[i]!;
    const base = countBits(row);
    for (const [i, ofFirst] of firstBits.entries()) lostChannels[j * columns + i] = base + countBits(ofFirst, row);
  }
  return { first, second, firstHz, secondHz, lostChannels };
}

function unionWithout(problem: PlanProblem, assignment: Assignment, places: readonly number[]): Uint32Array {
  return problem.union(problem.options(assignment).filter((_, place) => !places.includes(place)));
}

function rangeOf(problem: PlanProblem, place: number, assignment: Assignment, points: number): Float64Array {
  const { adjust } = problem.sources[place]!;
  const { frequencyHz } = problem.resolve(place, assignment);
  const lowHz = adjust?.lowHz ?? frequencyHz * (1 - AROUND);
  const highHz = adjust?.highHz ?? frequencyHz * (1 + AROUND);
  return Float64Array.from({ length: points }, (_, i) => lowHz + ((highHz - lowHz) * i) / Math.max(1, points - 1));
}
