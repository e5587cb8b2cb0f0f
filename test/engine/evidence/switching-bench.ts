import { analyseTrace } from '../../../src-main/engine/analyse.ts';
import type { Condition } from '../../../src-main/model/condition.ts';
import { silentCondition } from '../../../src-main/model/silent-condition.ts';
import type { Source } from '../../../src-main/model/source.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../../../src-main/model/triage-settings.ts';
import type { TriagedTrace } from '../../../src-main/model/triaged-trace.ts';
import { columnToDecibels } from '../../../src-main/units/levels.ts';
import { simulateTrace, type TrueLine } from '../tracking/bench-simulator.ts';
import { seededNormal, seededRandom } from '../tracking/seeded-random.ts';

/** One comb of a simulated bench; `name` null is a source that no register knows. */
export interface BenchComb {
  readonly name: string | null;
  readonly fundamentalHz: number;
  /** Level of its lines over the floor at the first harmonic in the span, falling with 6 dB a doubling. */
  readonly overFloorDb: number;
  /** Ripple of its path, of its own: seeds the levels. */
  readonly ripple: (harmonic: number) => number;
}

export interface BenchMoment {
  readonly file: string;
  readonly condition: Partial<Condition>;
  /** Combs that run, with what happened to each: relative move in ppm and change of all levels. */
  readonly running: readonly { readonly comb: BenchComb; readonly movePpm: number; readonly changeDb: number }[];
  readonly ambient: readonly TrueLine[];
  /** Scatter of one line's level from moment to moment. */
  readonly scatterDb?: number;
  readonly rbwHz?: number;
  readonly floorDb?: number;
  readonly attenuationDb?: number;
}

export const SPAN = { startHz: 1e6, stopHz: 9e6, points: 4001 } as const;

export function ripple(random: () => number): (harmonic: number) => number {
  const normal = seededNormal(random);
  const table = Array.from({ length: 64 }, () => 4 * normal());
  return (harmonic) => table[harmonic % 64]!;
}

/** Lines of all combs that run and of the surroundings, with whose they are. */
export function linesOf(
  moment: BenchMoment,
  random: () => number,
): (TrueLine & { owner: string | null; harmonic: number })[] {
  const normal = seededNormal(random);
  const floorDb = moment.floorDb ?? -110;
  const lines = moment.running.flatMap(({ comb, movePpm, changeDb }) => {
    const fundamentalHz = comb.fundamentalHz * (1 + 1e-6 * movePpm);
    const first = Math.ceil(SPAN.startHz / fundamentalHz);
    const last = Math.floor(SPAN.stopHz / fundamentalHz);
    return Array.from({ length: Math.max(0, last - first + 1) }, (_, k) => ({
      frequencyHz: (first + k) * fundamentalHz,
      levelDb:
        floorDb +
        comb.overFloorDb -
        20 * Math.log10((first + k) / first) +
        comb.ripple(first + k) +
        changeDb +
        (moment.scatterDb ?? 0.5) * normal(),
      owner: comb.name,
      harmonic: first + k,
    }));
  });
  return [...lines, ...moment.ambient.map((line) => ({ ...line, owner: 'ambient', harmonic: 0 }))];
}

/** A moment measured and triaged on its own, as the program does it. */
export function measure(moment: BenchMoment, sources: readonly Source[], seed: number) {
  const random = seededRandom(seed);
  const lines = linesOf(moment, random);
  const trace = simulateTrace({
    ...SPAN,
    rbwHz: moment.rbwHz ?? 5e3,
    averages: 16,
    floorDb: () => moment.floorDb ?? -110,
    lines,
    random,
    settings: moment.attenuationDb === undefined ? {} : { attenuationDb: moment.attenuationDb },
  });
  const condition = { ...silentCondition(moment.file), ...moment.condition };
  const triage = analyseTrace({ trace, sources, condition, settings: DEFAULT_TRIAGE_SETTINGS });
  const triaged: TriagedTrace = {
    trace,
    levelDb: columnToDecibels(trace.level, trace.unit),
    triage,
    condition,
    file: moment.file,
  };
  return { triaged, lines };
}
