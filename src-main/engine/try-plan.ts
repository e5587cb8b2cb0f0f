import type { Band } from '../model/band.ts';
import type { PlanRisks, PlanSettings, SourceChannels, SourceSetting, TriedPlan } from '../model/plan.ts';
import type { Source } from '../model/source.ts';
import { plannedBeats } from './planning/beats.ts';
import { channelGrid, type ChannelGrid } from './planning/channel-grid.ts';
import { checkPlanInput, type PlanInputNames } from './planning/check-plan-input.ts';
import { describePlan, ownersOf } from './planning/describe-plan.ts';
import { inStepPairs } from './planning/in-step.ts';
import { lostLocks } from './planning/lost-locks.ts';
import { PlanProblem, type Assignment } from './planning/plan-problem.ts';
import { planRobustness } from './planning/robustness.ts';
import { sourceChannels } from './planning/source-channels.ts';
import { assignmentOf } from './planning/settings-to-choices.ts';

export interface TryPlanInput {
  readonly sources: readonly Source[];
  readonly bands: readonly Band[];
  readonly settings: PlanSettings;
  /** Tolerance, ± ppm, that a measurement leaves of single sources as they run today. */
  readonly todayPpm?: Readonly<Record<string, number>>;
  /** What is set otherwise than the register has it. */
  readonly chosen: readonly SourceSetting[];
  readonly names?: PlanInputNames;
}

/** What if: the cost of settings made by hand. Milliseconds, no search. @throws InputError */
export function tryPlan(input: TryPlanInput): TriedPlan {
  const { problem, assignment, grid } = opened(input);
  const owners = ownersOf(grid, problem.options(assignment));
  return {
    plan: describePlan(problem, assignment),
    owners: grid.bands.map(({ band, firstBit, channels }) => ({
      band: band.name,
      channels: owners.slice(firstBit, firstBit + channels),
    })),
  };
}

/** Which channels each source takes, band by band. @throws InputError */
export function planChannels(input: TryPlanInput): SourceChannels[] {
  const { problem, assignment } = opened(input);
  return sourceChannels(problem, assignment);
}

/** Beats, lines in step, lost locks and the Monte Carlo of settings. @throws InputError */
export function planRisks(input: TryPlanInput): PlanRisks {
  const { problem, assignment } = opened(input);
  return {
    beats: plannedBeats(problem, assignment),
    inStep: inStepPairs(problem, assignment),
    lostLocks: lostLocks(problem, assignment),
    robustness: planRobustness(problem, assignment),
  };
}

function opened({ sources, bands, settings, chosen, todayPpm, names }: TryPlanInput): {
  problem: PlanProblem;
  assignment: Assignment;
  grid: ChannelGrid;
} {
  checkPlanInput(sources, bands, names ?? { sources: 'the source register', bands: 'the bands' });
  const grid = channelGrid(bands);
  const problem = new PlanProblem(sources, grid, settings, todayPpm);
  return { problem, assignment: assignmentOf(problem, chosen), grid };
}
