import type { Source } from '../../../src-main/model/source.ts';
import { seededRandom, type Random } from '../simulator/random.ts';
import { STEADY, type SweepSetup } from '../simulator/sweep.ts';
import { buildCase, type Emitter, type ForeignLine } from './build-case.ts';
import type { AccuracyCase } from './case.ts';
import { converterEmitter, plainSource } from './random-parts.ts';
import { statedSettings } from './stated-settings.ts';

export type NullKind = 'random lines' | 'unregistered combs';

/**
 * Campaign c: small captures whose lines belong to nothing that is registered, though a full register of sources is given. Any
 * claim is an accident; the share of captures with a claim at chance < p must not exceed p.
 *
 * @param running adds one registered converter that does run, for the power at the same p
 */
export function nullCase(seed: number, kind: NullKind, running = false): AccuracyCase {
  const random = seededRandom(seed + 90_000_000);
  const rbwHz = 3e3;
  const setup: SweepSetup = {
    startHz: 60e3,
    spacingHz: rbwHz * random.between(0.5, 1),
    points: random.integer(4_000, 9_000),
    rbwHz,
    filter: 'gaussian',
    sweeps: 10,
    combine: 'power',
    peakLooks: 1,
    overlapping: true,
    roundDb: 0.01,
  };
  const stopHz = setup.startHz + setup.spacingHz * (setup.points - 1);
  const sources: Source[] = [];
  const count = random.integer(3, 12);
  for (let i = 1; i <= count; i++) {
    const isClock = random.chance(0.25);
    sources.push(
      isClock
        ? plainSource(`X${i}`, 'clock', Math.round(random.between(1, 16)) * 1e6, 50)
        : plainSource(
            `V${i}`,
            'converter',
            Math.round(random.logBetween(60e3, 2e6) / 1e3) * 1e3,
            Math.round(random.between(0.02, 0.1) * 1e6),
          ),
    );
  }
  const emitters: Emitter[] = [];
  const foreign: ForeignLine[] = [];
  if (kind === 'random lines') {
    const lines = random.integer(10, 250);
    for (let i = 0; i < lines; i++)
      foreign.push({
        frequencyHz: random.between(setup.startHz, stopHz),
        overFloorDb: 8 - 10 * Math.log(1 - random.uniform()),
      });
  } else {
    const combs = random.integer(2, 6);
    for (let i = 1; i <= combs; i++)
      emitters.push(converterEmitter(random, `unregistered ${i}`, false, outsideAllRanges(random, sources), STEADY));
  }
  if (running) {
    const converters = sources.filter((source) => source.kind === 'converter');
    const source = converters[0];
    if (source !== undefined) {
      const tolerance = 1e-6 * source.tolerancePpm!;
      const actualHz = source.nominalHz * (1 + random.between(-tolerance, tolerance));
      emitters.push(converterEmitter(random, source.designator, true, actualHz, STEADY, random.between(12, 40)));
    }
  }
  return buildCase(
    {
      name: kind,
      seed,
      setup,
      floorDb: () => -100,
      emitters,
      foreign,
      sources,
      settings: statedSettings(setup),
      axis: { referencePpm: 0, spanPpm: 0 },
    },
    random,
  );
}

/** A fundamental that no register entry could have: a comb inside an entry's tolerance would be that entry as far as anyone can tell. */
function outsideAllRanges(random: Random, sources: readonly Source[]): number {
  for (;;) {
    const frequencyHz = random.logBetween(60e3, 2e6);
    const inside = sources.some((source) => {
      // nor one of whose teeth every second or third make a comb in the tolerance
      for (let multiple = 1; multiple <= 40; multiple++)
        if (Math.abs(frequencyHz * multiple - source.nominalHz) <= 1.001e-6 * source.tolerancePpm! * source.nominalHz)
          return multiple <= 3;
      return false;
    });
    if (!inside) return frequencyHz;
  }
}
