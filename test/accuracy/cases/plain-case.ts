import type { Source } from '../../../src-main/model/source.ts';
import { seededRandom } from '../simulator/random.ts';
import { STEADY, type SweepSetup } from '../simulator/sweep.ts';
import { buildCase, type Emitter } from './build-case.ts';
import type { AccuracyCase } from './case.ts';
import {
  clockEmitter,
  converterEmitter,
  plainSource,
  randomFloor,
  randomForeign,
  unregisteredHz,
} from './random-parts.ts';
import { statedSettings } from './stated-settings.ts';

const CRYSTALS_HZ = [32_768, 1e6, 4e6, 8e6, 10e6, 12e6, 16e6, 20e6, 24e6, 25e6, 26e6, 40e6];

/**
 * Campaign a: an ordinary bench. Converters within ±3–10 % of nominal, crystal clocks, foreign lines, unregistered combs, register
 * entries that do not run; 8–64 power averages, spacing half to one bandwidth, 10–60 thousand points.
 */
export function plainCase(seed: number): AccuracyCase {
  const random = seededRandom(seed);
  const points = Math.round(random.logBetween(10_000, 60_000));
  const rbwHz = random.pick([300, 1e3, 1e3, 3e3, 3e3, 5e3, 9e3, 10e3]);
  const spacingHz = rbwHz * random.between(0.5, 1);
  const spanHz = spacingHz * (points - 1);
  const startHz = random.chance(0.75) ? Math.max(20e3, 20 * rbwHz) : random.between(0.3e6, 10e6);
  const stopHz = startHz + spanHz;
  const setup: SweepSetup = {
    startHz,
    spacingHz,
    points,
    rbwHz,
    filter: 'gaussian',
    sweeps: Math.round(random.logBetween(8, 64)),
    combine: 'power',
    peakLooks: 1,
    overlapping: random.chance(0.8),
    roundDb: random.pick([0, 0.01, 0.01]),
  };

  const sources: Source[] = [];
  const emitters: Emitter[] = [];
  // teeth at least eight bandwidths apart: nobody chooses a filter that runs a converter's lines together
  const lowestHz = Math.max(60e3, 8 * rbwHz);
  const converters = random.integer(3, 9);
  for (let i = 1; i <= converters; i++) {
    const nominalHz = Math.round(random.logBetween(lowestHz, 2.4e6) / 1e3) * 1e3;
    const tolerance = random.between(0.03, 0.1);
    const designator = `V${i}`;
    sources.push(plainSource(designator, 'converter', nominalHz, Math.round(tolerance * 1e6)));
    const wander = { driftPpm: random.between(-4, 4), jitterPpm: random.between(0, 1.5), spreadPpm: 0 };
    if (random.chance(0.85))
      emitters.push(
        converterEmitter(random, designator, true, nominalHz * (1 + random.between(-tolerance, tolerance)), wander),
      );
  }
  const clocks = random.integer(1, 4);
  for (let i = 1; i <= clocks; i++) {
    const nominalHz = random.pick(CRYSTALS_HZ.filter((hz) => hz > lowestHz));
    const tolerancePpm = random.pick([20, 50, 100]);
    const designator = `X${i}`;
    if (sources.some((source) => source.nominalHz === nominalHz)) continue;
    sources.push(plainSource(designator, 'clock', nominalHz, tolerancePpm));
    if (random.chance(0.85))
      emitters.push(
        clockEmitter(
          random,
          designator,
          true,
          nominalHz * (1 + 1e-6 * random.between(-tolerancePpm, tolerancePpm)),
          STEADY,
        ),
      );
  }
  const unregistered = random.integer(0, 2);
  for (let i = 1; i <= unregistered; i++)
    emitters.push(
      converterEmitter(random, `unregistered ${i}`, false, unregisteredHz(random, lowestHz, sources), STEADY),
    );

  return buildCase(
    {
      name: 'ordinary bench',
      seed,
      setup,
      floorDb: randomFloor(random, startHz, stopHz, {
        slopeDbPerDecade: random.between(0, 8),
        rippleDb: random.between(0, 0.7),
      }),
      emitters,
      foreign: randomForeign(random, startHz, stopHz, random.integer(8, 80)),
      sources,
      settings: statedSettings(setup),
      axis: { referencePpm: random.between(-0.7, 0.7), spanPpm: 0 },
    },
    random,
  );
}
