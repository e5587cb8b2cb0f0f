import type { PlannedBeat } from '../../model/plan.ts';
import { channelsTouched } from './channel-grid.ts';
import type { Assignment, PlanProblem } from './plan-problem.ts';

/** Highest harmonic of either source that is taken into a product. A choice of this tool: higher products are weaker. */
const HIGHEST = 3;
/** As many as a reader can act on; the ones that may spoil most channels. */
const SHOWN = 50;

/**
 * Products |m f1 ± k f2|, m and k up to 3, of two sources that run freely of each other, where they may fall into a band.
 *
 * Pairs on one clock have no beats of their own: their products are lines of the common spacing. Nothing here says that such a
 * product is there: it takes something that mixes the two.
 */
export function plannedBeats(problem: PlanProblem, assignment: Assignment): PlannedBeat[] {
  const options = problem.options(assignment);
  const roots = assignment.map((_, place) => problem.resolve(place, assignment).root);
  const found: PlannedBeat[] = [];
  const { leakageHz } = problem.settings;
  for (let a = 0; a < options.length; a++)
    for (let b = a + 1; b < options.length; b++) {
      if (roots[a] === roots[b]) continue;
      for (let m = 1; m <= HIGHEST; m++)
        for (let k = 1; k <= HIGHEST; k++)
          for (const sign of [1, -1] as const) {
            const [first, second] = [options[a]!, options[b]!];
            const middleHz = m * first.frequencyHz + sign * k * second.frequencyHz;
            const doubtHz = m * first.frequencyHz * first.halfWidth + k * second.frequencyHz * second.halfWidth;
            const [lowHz, highHz] = folded(middleHz - doubtHz, middleHz + doubtHz);
            for (const at of problem.grid.bands) {
              const touched = channelsTouched(at, lowHz - leakageHz, highHz + leakageHz);
              if (touched === null) continue;
              found.push({
                first: problem.sources[a]!.designator,
                second: problem.sources[b]!.designator,
                firstHarmonic: m,
                secondHarmonic: k,
                sign,
                lowHz,
                highHz,
                band: at.band.name,
                channels: touched[1] - touched[0] + 1,
              });
            }
          }
    }
  const order = (beat: PlannedBeat) => beat.firstHarmonic + beat.secondHarmonic;
  return found.sort((x, y) => order(x) - order(y) || y.channels - x.channels || x.lowHz - y.lowHz).slice(0, SHOWN);
}

/** A range of differences as frequencies above zero. */
function folded(lowHz: number, highHz: number): [number, number] {
  if (lowHz >= 0) return [lowHz, highHz];
  if (highHz <= 0) return [-highHz, -lowHz];
  return [0, Math.max(-lowHz, highHz)];
}
