import type { LockLost } from '../../model/plan.ts';
import type { Assignment, PlanProblem } from './plan-problem.ts';

/**
 * What a plan costs where one lock fails: the source then runs freely about the same frequency with its own tolerance, as published
 * converters do once their clock is missing. Sources that it clocks go along. The dearest first.
 */
export function lostLocks(problem: PlanProblem, assignment: Assignment): LockLost[] {
  return assignment
    .flatMap((choice, place) => {
      if (choice.kind !== 'locked') return [];
      const { frequencyHz } = problem.resolve(place, assignment);
      const options = problem.options(assignment.with(place, { kind: 'free', frequencyHz }));
      const source = problem.sources[place]!.designator;
      return [{ source, lostWeight: problem.weigh(options), lostChannels: problem.count(options) }];
    })
    .sort((a, b) => b.lostWeight - a.lostWeight);
}
