import type { SourceChannels, SourceInBand } from '../../model/plan.ts';
import { hasBit } from '../numeric/bitset.ts';
import type { GridBand } from './channel-grid.ts';
import { ownersOf } from './describe-plan.ts';
import type { Assignment, PlanProblem } from './plan-problem.ts';

/** Which channels of which band each source may stand in, directly, folded or mixed, and which of them it takes alone. */
export function sourceChannels(problem: PlanProblem, assignment: Assignment): SourceChannels[] {
  const options = problem.options(assignment);
  const owners = ownersOf(problem.grid, options);
  return options.map(({ bits }, place) => ({
    source: problem.sources[place]!.designator,
    bands: problem.grid.bands.map((at) => inBand(at, bits, owners)),
  }));
}

function inBand({ band, firstBit, channels }: GridBand, bits: Uint32Array, owners: Uint16Array): SourceInBand {
  let [sole, shared] = [0, 0];
  const runs: [number, number][] = [];
  for (let i = 0; i < channels; i++) {
    if (!hasBit(bits, firstBit + i)) continue;
    if (owners[firstBit + i] === 1) sole++;
    else shared++;
    const last = runs.at(-1);
    if (last?.[1] === i) last[1] = i + 1;
    else runs.push([i + 1, i + 1]);
  }
  return { band: band.name, soleChannels: sole, sharedChannels: shared, runs };
}
