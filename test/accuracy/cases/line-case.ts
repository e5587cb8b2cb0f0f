import type { Source } from '../../../src-main/model/source.ts';
import type { Spur } from '../../../src-main/model/spur.ts';
import { seededRandom, type Random } from '../simulator/random.ts';
import { plainSource } from './random-parts.ts';

export type LineKind = 'random lines' | 'unregistered combs';

/** A list of lines as the spur stage would hand it over, with the register it is asked against; no spectrum is made. */
export interface LineCase {
  readonly seed: number;
  readonly spurs: readonly Spur[];
  readonly frequencyHz: Float64Array;
  readonly rbwHz: number;
  readonly sources: readonly Source[];
  /** Fundamentals of the combs that nobody registered. */
  readonly unregisteredHz: readonly number[];
  /** The one entry that runs, if any. */
  readonly running: { readonly designator: string; readonly fundamentalHz: number; readonly teeth: number } | null;
}

interface Tooth {
  readonly frequencyHz: number;
  readonly overFloorDb: number;
}

/** Ratios in which combs of one build stand to each other: clock trees, dividers, synchronised converters. */
const RATIOS = [2, 3, 4, 5, 1 / 2, 1 / 3, 3 / 2, 2 / 3, 4 / 3, 3 / 4, 5 / 2, 5 / 3];

/** A register entry may not hold an unregistered fundamental: a comb there would be that entry as far as anyone can tell. */
const CLEAR_OF_RANGE = 1.05;

/**
 * One capture in which no register entry runs (or one does), as lines alone. Thousands of these take a minute.
 *
 * `random lines`: 10–400 lines at random places, half of the time crowded into stretches. `unregistered combs`: one to eight combs, half
 * of them in integer or rational ratios to an earlier one, exact or off by up to 500 ppm; some show odd harmonics only, some miss a
 * third, some drift within the sweep; and up to 40 foreign lines. The register holds 5–50 entries.
 *
 * @param running adds one registered converter that runs, with 4–60 visible harmonics
 */
export function lineCase(seed: number, kind: LineKind, running = false): LineCase {
  const random = seededRandom(seed + 50_000_000);
  const rbwHz = random.pick([1e3, 3e3, 3e3, 9e3]);
  const lowHz = 20 * rbwHz;
  const highHz = lowHz + rbwHz * random.logBetween(2_000, 20_000);
  const lowestHz = Math.max(60e3, 8 * rbwHz);
  const teeth: Tooth[] = [];
  const unregisteredHz: number[] = [];

  if (kind === 'random lines') {
    const count = random.integer(10, 400);
    const crowded = random.chance(0.5) ? random.uniform() : 0;
    const centreHz = random.between(lowHz, highHz);
    for (let i = 0; i < count; i++) {
      const anywhere = random.between(lowHz, highHz);
      const f = random.chance(crowded) ? centreHz + 0.1 * (highHz - lowHz) * random.normal() : anywhere;
      if (f > lowHz && f < highHz) teeth.push({ frequencyHz: f, overFloorDb: heightDb(random) });
    }
  } else {
    const combs = random.integer(1, 8);
    for (let i = 0; i < combs; i++) {
      let f = random.logBetween(lowestHz, 2e6);
      if (i > 0 && random.chance(0.5)) {
        const near =
          random.pick(unregisteredHz) *
          random.pick(RATIOS) *
          (random.chance(0.5) ? 1 : 1 + random.between(-500e-6, 500e-6));
        if (near >= lowestHz && near <= 4e6) f = near;
      }
      unregisteredHz.push(f);
      teeth.push(...combTeeth(random, f, lowHz, highHz));
    }
    const foreign = random.integer(0, 40);
    for (let i = 0; i < foreign; i++)
      teeth.push({ frequencyHz: random.between(lowHz, highHz), overFloorDb: heightDb(random) });
  }

  const sources = randomRegister(random, lowestHz).filter(
    ({ nominalHz, tolerancePpm }) =>
      !unregisteredHz.some((f) => Math.abs(f / nominalHz - 1) < CLEAR_OF_RANGE * 1e-6 * tolerancePpm! + 5e-6),
  );
  let ran: LineCase['running'] = null;
  const chosen = sources.find((source) => source.kind === 'converter' && 4 * source.nominalHz < highHz);
  if (running && chosen !== undefined) {
    const f = chosen.nominalHz * (1 + 1e-6 * chosen.tolerancePpm! * random.between(-0.98, 0.98));
    const own = combTeeth(random, f, lowHz, highHz);
    teeth.push(...own);
    ran = { designator: chosen.designator, fundamentalHz: f, teeth: own.length };
  }
  return { seed, ...toSpurs(random, teeth, lowHz, highHz, rbwHz), rbwHz, sources, unregisteredHz, running: ran };
}

function heightDb(random: Random): number {
  return 6 - 10 * Math.log(1 - random.uniform());
}

/** The visible harmonics of one comb: a falling envelope with ripple, cut off where it sinks below the threshold. */
function combTeeth(random: Random, fundamentalHz: number, lowHz: number, highHz: number): Tooth[] {
  const oddOnly = random.chance(0.2);
  const missing = random.chance(0.3) ? 1 / 3 : 0;
  const driftPpm = random.chance(0.3) ? random.between(-150, 150) : 0;
  const strongestDb = random.between(10, 50);
  const slopeDb = random.between(0, 30); // per decade
  const ripplePhase = random.between(0, 2 * Math.PI);
  const ripplePeriods = random.between(0.5, 5);
  const middleHz = (lowHz + highHz) / 2;
  const out: Tooth[] = [];
  const first = Math.max(1, Math.ceil(lowHz / fundamentalHz));
  for (let n = first; n * fundamentalHz < highHz && n < 2000; n++) {
    const f = n * fundamentalHz;
    const ripple = 8 * Math.sin((2 * Math.PI * ripplePeriods * f) / highHz + ripplePhase) + 4 * random.normal();
    const overFloorDb = strongestDb - slopeDb * Math.log10(n / first) + ripple;
    if ((oddOnly && n % 2 === 0) || random.chance(missing) || overFloorDb < 6) continue;
    out.push({ frequencyHz: f * (1 + (1e-6 * driftPpm * (f - middleHz)) / (highHz - lowHz)), overFloorDb });
  }
  return out;
}

/** 5–50 entries: converters of ±0.5–8 % and crystal clocks of ±20–100 ppm. */
function randomRegister(random: Random, lowestHz: number): Source[] {
  const count = random.integer(5, 50);
  return Array.from({ length: count }, (_, i) =>
    random.chance(0.25)
      ? plainSource(
          `X${i + 1}`,
          'clock',
          random.chance(0.7) ? random.integer(1, 40) * 1e6 : random.integer(500, 40_000) * 1024,
          random.pick([20, 50, 100]),
        )
      : plainSource(
          `V${i + 1}`,
          'converter',
          Math.round(random.logBetween(lowestHz, 2.4e6) / 1e3) * 1e3,
          Math.round(random.logBetween(0.005, 0.08) * 1e6),
        ),
  );
}

/** What a spur stage would find: lines closer than the bandwidth become one, frequencies carry their own error. */
function toSpurs(
  random: Random,
  teeth: readonly Tooth[],
  lowHz: number,
  highHz: number,
  rbwHz: number,
): { spurs: Spur[]; frequencyHz: Float64Array } {
  const spacingHz = rbwHz * 0.75;
  const points = Math.floor((highHz - lowHz) / spacingHz) + 1;
  const frequencyHz = Float64Array.from({ length: points }, (_, i) => lowHz + i * spacingHz);
  const kept: Tooth[] = [];
  for (const tooth of [...teeth].sort((a, b) => a.frequencyHz - b.frequencyHz)) {
    const last = kept[kept.length - 1];
    if (last === undefined || tooth.frequencyHz - last.frequencyHz > 1.5 * rbwHz) kept.push(tooth);
    else if (tooth.overFloorDb > last.overFloorDb) kept[kept.length - 1] = tooth;
  }
  const spurs = kept.map(({ frequencyHz: f, overFloorDb }): Spur => {
    // about what ten power averages leave: a tenth of the bandwidth at the threshold, a hundredth 20 dB above
    const sigmaHz = rbwHz * Math.max(0.005, 0.1 * 10 ** (-(overFloorDb - 6) / 20));
    const peakIndex = Math.min(points - 1, Math.max(0, Math.round((f - lowHz) / spacingHz)));
    return {
      frequencyHz: f + sigmaHz * random.normal(),
      frequencySigmaHz: sigmaHz,
      levelDb: overFloorDb - 100,
      levelSigmaDb: 0.5,
      floorDb: -100,
      overFloorDb,
      widthHz: rbwHz,
      shape: 'line',
      peakIndex,
      firstIndex: Math.max(0, peakIndex - 2),
      lastIndex: Math.min(points - 1, peakIndex + 2),
      crowded: false,
    };
  });
  spurs.sort((a, b) => a.frequencyHz - b.frequencyHz);
  return { spurs, frequencyHz };
}
