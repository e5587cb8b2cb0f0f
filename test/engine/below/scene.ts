import { stackBelow } from '../../../src-main/engine/below/stack-below.ts';
import { estimateFloor } from '../../../src-main/engine/floor/estimate-floor.ts';
import { filterResponse } from '../../../src-main/engine/spurs/line-shape.ts';
import { findSpurs } from '../../../src-main/engine/spurs/find-spurs.ts';
import type { CombBelow } from '../../../src-main/model/comb-below.ts';
import type { Comb } from '../../../src-main/model/comb.ts';
import type { Source } from '../../../src-main/model/source.ts';
import { source } from '../attribution/scene.ts';
import { sweep } from '../spurs/sweep.ts';

export interface BelowScene {
  readonly seed: number;
  readonly averaging?: 'power' | 'log' | 'max-hold';
  readonly sweeps?: number;
  readonly points?: number;
  readonly fundamentalHz?: number;
  /** Line power of every harmonic over the noise; left out: no lines. */
  readonly overFloorDb?: number;
  /** True: the comb is claimed, so its fundamental is known. False: only the register's tolerance is. */
  readonly known?: boolean;
  readonly sources?: readonly Source[];
  readonly sourcesOff?: readonly string[];
  readonly shiftDb?: number;
  /** What the file says the bandwidth is, where that is not what it is. */
  readonly statedRbwHz?: number;
}

export const FUNDAMENTAL_HZ = 60.0137e3;
const START_HZ = 1e6;

/** A simulated sweep through floor, lines and stack, as the whole line would take it. */
export function below(scene: BelowScene): CombBelow[] {
  const { averaging = 'power', sweeps = 16, points = 3000, known = true, shiftDb = 0 } = scene;
  const fundamentalHz = scene.fundamentalHz ?? FUNDAMENTAL_HZ;
  const harmonics: number[] = [];
  for (let n = Math.ceil(START_HZ / fundamentalHz); n * fundamentalHz < START_HZ + points * 1e3; n++) harmonics.push(n);
  const lines =
    scene.overFloorDb === undefined
      ? []
      : harmonics.map((n) => ({ at: (n * fundamentalHz - START_HZ) / 1e3, overFloorDb: scene.overFloorDb! }));
  const swept = sweep({ seed: scene.seed, points, sweeps, averaging, lines });
  const levelDb = swept.levelDb.map((db) => db + shiftDb);
  const { frequencyHz } = swept;
  const settings = { ...swept.settings, rbwHz: scene.statedRbwHz ?? swept.settings.rbwHz };
  const floor = estimateFloor({ frequencyHz, levelDb, settings, falseAlarmsPerCapture: 0.05, floorWindowPoints: null });
  const found = findSpurs({ frequencyHz, levelDb, floor, settings, frequencyAccuracyPpm: 1 });
  const comb: Comb = {
    source: 'U1',
    fundamentalHz,
    fundamentalSigmaHz: 1,
    harmonicsSeen: [],
    harmonicsExpected: harmonics,
    chance: 1e-9,
    couldAlsoBe: [],
  };
  return stackBelow({
    frequencyHz,
    levelDb,
    floor,
    settings,
    spurs: found.spurs,
    explanations: [],
    combs: known ? [comb] : [],
    sources: scene.sources ?? [source('U1', 60e3, { tolerancePpm: 20_000 })],
    sourcesOff: scene.sourcesOff ?? [],
    axisPpm: 1,
    claimChance: 1e-3,
    lineWidthHz: found.lineWidthHz,
    response: (offsetHz) => filterResponse(offsetHz, found.lineWidthHz, found.lineShape),
  });
}
