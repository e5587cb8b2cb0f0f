import type { PlanRobustness } from '../../model/plan.ts';
import { seededRandom } from '../numeric/random.ts';
import { countBits } from '../numeric/bitset.ts';
import { combChannels } from './comb-channels.ts';
import type { Assignment, PlanProblem } from './plan-problem.ts';

/**
 * Lost channels when each source at the end of a chain of locks is drawn evenly from its range, those it clocks along with it. Its
 * deliberate spread is not drawn: it is there at once, all of it.
 *
 * Worst case: every channel in which anything may stand; no draw loses more.
 */
export function planRobustness(problem: PlanProblem, assignment: Assignment): PlanRobustness {
  const { sources, grid, settings } = problem;
  const options = problem.options(assignment);
  const roots = assignment.map((_, place) => problem.resolve(place, assignment).root);
  const random = seededRandom(settings.seed);
  const counts: number[] = [];
  for (let draw = 0; draw < settings.draws; draw++) {
    const bits = new Uint32Array(grid.words);
    const offsets = sources.map(() => 2 * random() - 1);
    for (const [place, option] of options.entries()) {
      const root = sources[roots[place]!]!;
      const spread = Math.min((1e-6 * (root.spreadPpm ?? 0)) / 2, option.halfWidth);
      const frequencyHz = option.frequencyHz * (1 + offsets[roots[place]!]! * (option.halfWidth - spread));
      const { maxHarmonic } = sources[place]!;
      const taken =
        option.halfWidth === 0
          ? option.bits
          : combChannels({ frequencyHz, halfWidth: spread, maxHarmonic }, grid, settings);
      for (let i = 0; i < bits.length; i++) bits[i]! |= taken[i]!;
    }
    counts.push(countBits(bits));
  }
  counts.sort((a, b) => a - b);
  const quantile = (p: number) => counts[Math.min(counts.length - 1, Math.floor(p * counts.length))] ?? 0;
  return {
    draws: settings.draws,
    worstChannels: problem.count(options),
    medianChannels: quantile(0.5),
    lowChannels: quantile(0.05),
    highChannels: quantile(0.95),
  };
}
