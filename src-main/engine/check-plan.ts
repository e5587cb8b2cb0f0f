import type { Comb } from '../model/comb.ts';
import type { LineExplanation } from '../model/attribution.ts';
import type { PlanChannelCheck, PlanCheck, PlanSourceCheck } from '../model/plan-check.ts';
import type { Spur } from '../model/spur.ts';
import { hasBit } from './numeric/bitset.ts';
import { channelGrid, channelsTouched } from './planning/channel-grid.ts';
import { PlanProblem } from './planning/plan-problem.ts';
import { assignmentOf } from './planning/settings-to-choices.ts';
import type { TryPlanInput } from './try-plan.ts';

/** What one capture of the planned state showed. */
export interface MeasuredCapture {
  readonly file: string;
  readonly startHz: number;
  readonly stopHz: number;
  readonly spurs: readonly Spur[];
  readonly explanations: readonly LineExplanation[];
  readonly combs: readonly Comb[];
}

/** A measured fundamental this many standard deviations outside the predicted range is elsewhere. Normal: 1 in 370. */
const SIGMAS = 3;

/**
 * What a plan predicted against what captures of the state built to it show.
 *
 * A source is as planned where its measured fundamental lies within the range the plan gave it, widened by three standard deviations of the
 * measurement; without a comb of it nothing is said: not seen is not gone. Channels: those lost to predicted lines of our sources, and those in which
 * a line stands that is not from outside or from the kit. A channel that no capture covers is counted as such.
 */
export function checkPlan(input: TryPlanInput, captures: readonly MeasuredCapture[]): PlanCheck {
  const grid = channelGrid(input.bands);
  const problem = new PlanProblem(input.sources, grid, input.settings, input.todayPpm);
  const options = problem.options(assignmentOf(problem, input.chosen));
  const predicted = problem.union(options);
  const measured = new Uint32Array(grid.words);
  const covered = new Uint32Array(grid.words);
  const unforeseen: { frequencyHz: number; file: string; cause: string }[] = [];
  for (const capture of captures)
    for (const at of grid.bands) {
      for (let i = 0; i < at.channels; i++) {
        const lowHz = Math.max(at.gridLowHz + i * at.channelHz, at.band.lowHz);
        const highHz = Math.min(at.gridLowHz + (i + 1) * at.channelHz, at.band.highHz);
        if (lowHz >= capture.startHz && highHz <= capture.stopHz) set(covered, at.firstBit + i);
      }
      for (const [s, spur] of capture.spurs.entries()) {
        const cause = capture.explanations[s]?.cause ?? 'unexplained';
        if (cause === 'ambient' || cause === 'instrument') continue;
        const touched = channelsTouched(at, spur.frequencyHz, spur.frequencyHz);
        if (touched === null) continue;
        for (let i = touched[0]; i <= touched[1]; i++) set(measured, at.firstBit + i);
        if (!hasBit(predicted, at.firstBit + touched[0]))
          unforeseen.push({ frequencyHz: spur.frequencyHz, file: capture.file, cause });
      }
    }
  const channels: PlanChannelCheck[] = grid.bands.map(({ band, firstBit, channels: count }) => {
    const counts = { both: 0, onlyPredicted: 0, onlyMeasured: 0, neither: 0, uncovered: 0 };
    for (let i = firstBit; i < firstBit + count; i++) {
      const [p, m] = [hasBit(predicted, i), hasBit(measured, i)];
      if (!hasBit(covered, i) && !m) counts.uncovered++;
      else counts[p ? (m ? 'both' : 'onlyPredicted') : m ? 'onlyMeasured' : 'neither']++;
    }
    return { band: band.name, ...counts };
  });
  const sources = problem.sources.map(({ designator }, place): PlanSourceCheck => {
    const { frequencyHz, halfWidth } = options[place]!;
    const found = captures.flatMap(({ combs, file }) =>
      combs.filter(({ source }) => source === designator).map((comb) => ({ comb, file })),
    );
    const best = found.sort((a, b) => a.comb.fundamentalSigmaHz - b.comb.fundamentalSigmaHz)[0];
    const base = {
      source: designator,
      predictedHz: frequencyHz,
      predictedHalfWidthHz: frequencyHz * halfWidth,
      measuredHz: best?.comb.fundamentalHz ?? null,
      measuredSigmaHz: best?.comb.fundamentalSigmaHz ?? null,
      file: best?.file ?? null,
    };
    if (best === undefined) return { ...base, outcome: 'not seen' };
    const off = Math.abs(best.comb.fundamentalHz - frequencyHz);
    const room = frequencyHz * halfWidth + SIGMAS * best.comb.fundamentalSigmaHz;
    return { ...base, outcome: off <= room ? 'as planned' : 'elsewhere' };
  });
  return { captures: captures.map(({ file }) => file), sources, channels, unforeseen };
}

function set(bits: Uint32Array, i: number): void {
  bits[i >>> 5]! |= 1 << (i & 31);
}
