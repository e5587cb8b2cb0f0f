import type { Band } from '../model/band.ts';
import type { Planning, PlanSettings } from '../model/plan.ts';
import type { Source } from '../model/source.ts';
import { branchAndBound } from './planning/branch-and-bound.ts';
import { channelGrid } from './planning/channel-grid.ts';
import { checkPlanInput, type PlanInputNames } from './planning/check-plan-input.ts';
import { choosePlans } from './planning/choose-plans.ts';
import { commonClocks } from './planning/common-clock.ts';
import { describePlan } from './planning/describe-plan.ts';
import { assumptionsOf, warningsOf } from './planning/plan-words.ts';
import { PlanProblem } from './planning/plan-problem.ts';
import { searchPlans } from './planning/search-plans.ts';
import { Effort, Moves } from './planning/search-state.ts';
import { SourceChoices } from './planning/source-choices.ts';

export interface PlanInput {
  readonly sources: readonly Source[];
  readonly bands: readonly Band[];
  readonly settings: PlanSettings;
  /** Tolerance, ± ppm, that a measurement leaves of single sources as they run today. */
  readonly todayPpm?: Readonly<Record<string, number>>;
  /** What the user calls the two lists, for the errors. */
  readonly names?: PlanInputNames;
  readonly onProgress?: (fraction: number, step: string) => void;
  /** Asked between steps; once true the best so far is returned as incomplete. */
  readonly isStopped?: () => boolean;
}

/** So near to the least the proof comes first, relative: what a stated gap should be at most. A choice of this tool. */
const STATED_GAP = 0.05;
/** Up to so many changeable sources every number of changes is proven on its own. */
const PROVEN_EACH = 6;

/**
 * Where to put the switching frequencies so that the bands keep the most channels. Pure: the same input gives the same plans.
 *
 * 1. What every choice of every source costs: channels as bits.
 * 2. A search along the trade-off of changes against lost weight.
 * 3. A proof: branch and bound, exact for few sources, else a lower bound that says how far from the least the plan may be.
 *
 * @throws InputError for lists that no plan can be made of
 */
export function planFrequencies(input: PlanInput): Planning {
  const { sources, bands, settings } = input;
  checkPlanInput(sources, bands, input.names ?? { sources: 'the source register', bands: 'the bands' });
  const progress = input.onProgress ?? (() => {});
  const isStopped = input.isStopped ?? (() => false);
  const grid = channelGrid(bands);
  const problem = new PlanProblem(sources, grid, settings, input.todayPpm);
  const choices = new SourceChoices(problem);
  const { changeable } = choices;

  progress(0, 'first plan');
  const searching = new Effort(settings.effort, isStopped);
  const moves = new Moves(problem, choices, searching);
  let least = Infinity;
  const findings = searchPlans(moves, settings.seed, (state) => {
    if (state.weight >= least) return;
    least = state.weight;
    progress(
      0.5 * searching.share,
      `${describePlan(problem, state.assignment).lostChannels} channels lost at best so far`,
    );
  });

  progress(0.5, 'proving how good it is');
  const proving = new Effort(settings.proofEffort, isStopped);
  const prover = new Moves(problem, choices, proving);
  const isSmall = changeable.length <= PROVEN_EACH;
  let lowerBound = 0;
  for (let changes = isSmall ? 1 : changeable.length; changes <= changeable.length; changes++) {
    const best = findings.all().find((state) => moves.changedPlaces(state).length <= changes)!;
    const proof = branchAndBound(prover, best, changes, isSmall ? 0 : STATED_GAP);
    findings.add(proof.best);
    if (changes === changeable.length) lowerBound = proof.lowerBound;
    progress(0.5 + (0.45 * changes) / changeable.length, 'proving how good it is');
  }
  const leastFound = findings.all()[0]!.weight;
  if (changeable.length === 0) lowerBound = leastFound;
  const isExact = lowerBound >= leastFound - 1e-9;

  progress(0.95, 'clocks in common');
  const shown = choosePlans(findings, changeable.length, (state) => moves.changedPlaces(state));
  return {
    settings,
    bands: grid.bands.map(({ band, channels }) => ({ name: band.name, channels })),
    today: describePlan(problem, problem.today),
    plans: shown.map(({ assignment }) => describePlan(problem, assignment)),
    lowerBoundWeight: isExact ? leastFound : lowerBound,
    boundGap: isExact || leastFound <= 0 ? 0 : (leastFound - lowerBound) / leastFound,
    isExact,
    isComplete: !isStopped(),
    commonClocks: commonClocks(problem, choices, isStopped),
    assumptions: assumptionsOf(problem, choices),
    warnings: warningsOf(problem, choices),
  };
}
