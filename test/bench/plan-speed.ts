/**
 * How long a search for switching frequencies takes, and how near to the least its plan is proven to be: 20 sources × 200 settings × 10 000
 * channels (node test/bench/plan-speed.ts [seed]). Printed, never asserted: machines differ. Seeded; the plans are the same on every
 * machine, only the times are not.
 */
import { performance } from 'node:perf_hooks';
import { planFrequencies } from '../../src-main/engine/plan.ts';
import { seededRandom } from '../../src-main/engine/numeric/random.ts';
import type { Band } from '../../src-main/model/band.ts';
import { DEFAULT_PLAN_SETTINGS } from '../../src-main/model/plan.ts';
import type { Source } from '../../src-main/model/source.ts';
import { aBand, aSource, adjustable } from '../engine/planning/plan-lists.ts';

const BANDS = [
  aBand(2e6, 12e6, 2e3, { name: 'a' }),
  aBand(12e6, 22e6, 4e3, { name: 'b' }),
  aBand(22e6, 32e6, 4e3, { name: 'c' }),
];
const WEIGHTED = [aBand(2e6, 12e6, 2e3, { name: 'a', weight: 5 }), aBand(12e6, 32e6, 4e3, { name: 'b' })];
const HIGH = [aBand(137e6, 138e6, 100, { name: 'high' })];
const STEPS = 199;

interface Kind {
  /** Where a range begins and how wide its step is, from a frequency between 150 and 900 kHz. */
  readonly rangeOf: (f: number) => { lowHz: number; stepHz: number };
  readonly ppm?: number;
  readonly maxHarmonic?: number;
  readonly bands?: readonly Band[];
  /** A clock of ±20 ppm that any of them may be locked to. */
  readonly clock?: { readonly nominalHz: number; readonly lowHz?: number; readonly highHz?: number };
  /** All are locked to the clock already and choose a divider within ± this part. */
  readonly lockedWithin?: number;
}

const even = (share: number) => (f: number) => ({ lowHz: (1 - share) * f, stepHz: (2 * share * f) / STEPS });
const KINDS: Readonly<Record<string, Kind>> = {
  'one range for all, 2 kHz steps': { rangeOf: () => ({ lowHz: 200e3, stepHz: 2e3 }) },
  'ranges of 199 kHz, 1 kHz steps': { rangeOf: (f) => ({ lowHz: Math.round(f / 1.3e3) * 1e3, stepHz: 1e3 }) },
  'ranges of 99.5 kHz, 500 Hz steps': { rangeOf: (f) => ({ lowHz: Math.round(f / 1.15e3) * 1e3, stepHz: 500 }) },
  'the same, weights 5 and 1': {
    rangeOf: (f) => ({ lowHz: Math.round(f / 1.15e3) * 1e3, stepHz: 500 }),
    bands: WEIGHTED,
  },
  'the same, 30 harmonics': {
    rangeOf: (f) => ({ lowHz: Math.round(f / 1.15e3) * 1e3, stepHz: 500 }),
    maxHarmonic: 30,
  },
  '137–138 MHz, 1 kHz steps, ±10 ppm': {
    rangeOf: (f) => ({ lowHz: Math.round(f / 1.3e3) * 1e3, stepHz: 1e3 }),
    ppm: 10,
    bands: HIGH,
  },
  '±20 % of nominal, ±1 % tolerance': { rangeOf: even(0.2), ppm: 10_000 },
  'a clock, ±5 % of nominal, ±1 % tolerance': {
    rangeOf: even(0.05),
    ppm: 10_000,
    clock: { nominalHz: 24.576e6 },
  },
  'a clock, all locked, dividers within ±10 %': {
    rangeOf: even(0.1),
    clock: { nominalHz: 40e6 },
    lockedWithin: 0.1,
  },
  'a clock of 200 settings, the same': {
    rangeOf: even(0.1),
    clock: { nominalHz: 40e6, lowHz: 35e6, highHz: 44.95e6 },
    lockedWithin: 0.1,
  },
  '±20 % of nominal, ±0.1 % tolerance': { rangeOf: even(0.2), ppm: 1000 },
  '±10 % of nominal, steps that fit nothing': { rangeOf: even(0.1) },
};

function listOf({ rangeOf, ppm = 0, maxHarmonic, clock, lockedWithin }: Kind, random: () => number): Source[] {
  const sources = Array.from({ length: 20 }, (_, i): Source => {
    const f = 150e3 * 6 ** random();
    const { lowHz, stepHz } = rangeOf(f);
    const todayHz = lowHz + (0.1 + 0.8 * random()) * STEPS * stepHz;
    const common = { tolerancePpm: ppm, maxHarmonic: maxHarmonic ?? null };
    if (lockedWithin === undefined || clock === undefined)
      return aSource(`S${i}`, todayHz, { ...common, ...adjustable(lowHz, lowHz + STEPS * stepHz, stepHz) });
    const denominator = Math.round(clock.nominalHz / f);
    return aSource(`S${i}`, clock.nominalHz / denominator, {
      ...common,
      lock: { to: 'XO', numerator: 1, denominator },
      ...adjustable((1 - lockedWithin) * f, (1 + lockedWithin) * f, null),
    });
  });
  if (clock === undefined) return sources;
  const { nominalHz, lowHz, highHz } = clock;
  const range = lowHz === undefined || highHz === undefined ? {} : adjustable(lowHz, highHz, (highHz - lowHz) / STEPS);
  return [aSource('XO', nominalHz, { kind: 'clock', tolerancePpm: 20, ...range }), ...sources];
}

const seed = Number(process.argv[2] ?? 7);
console.log(`20 sources × 200 settings × 10 000 channels, seed ${seed}; seconds to the first plan and in all`);
for (const [name, kind] of Object.entries(KINDS)) {
  const sources = listOf(kind, seededRandom(seed));
  const [begin, cpu] = [performance.now(), process.cpuUsage()];
  let first = 0;
  const planning = planFrequencies({
    sources,
    bands: kind.bands ?? BANDS,
    settings: DEFAULT_PLAN_SETTINGS,
    onProgress: (_, step) => {
      if (first === 0 && step.includes('lost at best')) first = performance.now() - begin;
    },
  });
  const wall = performance.now() - begin;
  const used = process.cpuUsage(cpu);
  const least = Math.min(planning.today.lostWeight, ...planning.plans.map((plan) => plan.lostWeight));
  console.log(
    [
      name.padEnd(42),
      `first ${(first / 1e3).toFixed(2)}`,
      `all ${(wall / 1e3).toFixed(1)}`,
      `(processor ${((used.user + used.system) / 1e6).toFixed(1)})`,
      `today ${planning.today.lostWeight}, best ${least}, bound ${planning.lowerBoundWeight.toFixed(0)}, gap ${(100 * planning.boundGap).toFixed(1)} %`,
    ].join('  '),
  );
}
