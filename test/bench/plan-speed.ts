/**
 * How long a search for switching frequencies takes: 20 sources × 200 settings × 10 000 channels (node test/bench/plan-speed.ts).
 * Printed, never asserted: machines differ. Seeded; the plans are the same on every machine, only the times are not.
 */
import { performance } from 'node:perf_hooks';
import { planFrequencies } from '../../src-main/engine/plan.ts';
import { seededRandom } from '../../src-main/engine/numeric/random.ts';
import { DEFAULT_PLAN_SETTINGS } from '../../src-main/model/plan.ts';
import type { Source } from '../../src-main/model/source.ts';
import { aBand, aSource, adjustable } from '../engine/planning/plan-lists.ts';

const BANDS = [
  aBand(2e6, 12e6, 2e3, { name: 'a' }),
  aBand(12e6, 22e6, 4e3, { name: 'b' }),
  aBand(22e6, 32e6, 4e3, { name: 'c' }),
];
const STEPS = 199;

/** Lists of one kind: where a range begins and how wide its step is, from a frequency between 150 and 900 kHz. */
const KINDS: Readonly<Record<string, (f: number) => { lowHz: number; stepHz: number; ppm: number }>> = {
  'one range for all, 2 kHz steps': () => ({ lowHz: 200e3, stepHz: 2e3, ppm: 0 }),
  'ranges of 199 kHz, 1 kHz steps': (f) => ({ lowHz: Math.round(f / 1.3e3) * 1e3, stepHz: 1e3, ppm: 0 }),
  'ranges of 99.5 kHz, 500 Hz steps': (f) => ({ lowHz: Math.round(f / 1.15e3) * 1e3, stepHz: 500, ppm: 0 }),
  '±20 % of nominal, ±1 % tolerance': (f) => ({ lowHz: 0.8 * f, stepHz: (0.4 * f) / STEPS, ppm: 10_000 }),
  '±20 % of nominal, ±0.1 % tolerance': (f) => ({ lowHz: 0.8 * f, stepHz: (0.4 * f) / STEPS, ppm: 1000 }),
  '±10 % of nominal, steps that fit nothing': (f) => ({ lowHz: 0.9 * f, stepHz: (0.2 * f) / STEPS, ppm: 0 }),
};

console.log('20 sources × 200 settings × 10 000 channels; seconds to the first plan and in all');
for (const [kind, rangeOf] of Object.entries(KINDS)) {
  const random = seededRandom(7);
  const sources = Array.from({ length: 20 }, (_, i): Source => {
    const { lowHz, stepHz, ppm } = rangeOf(150e3 * 6 ** random());
    const todayHz = lowHz + (0.1 + 0.8 * random()) * STEPS * stepHz;
    return aSource(`S${i}`, todayHz, { tolerancePpm: ppm, ...adjustable(lowHz, lowHz + STEPS * stepHz, stepHz) });
  });
  const [begin, cpu] = [performance.now(), process.cpuUsage()];
  let first = 0;
  const planning = planFrequencies({
    sources,
    bands: BANDS,
    settings: DEFAULT_PLAN_SETTINGS,
    onProgress: (_, step) => {
      if (first === 0 && step.includes('lost at best')) first = performance.now() - begin;
    },
  });
  const wall = performance.now() - begin;
  const used = process.cpuUsage(cpu);
  const least = Math.min(...planning.plans.map((plan) => plan.lostWeight));
  console.log(
    [
      kind.padEnd(42),
      `first ${(first / 1e3).toFixed(2)}`,
      `all ${(wall / 1e3).toFixed(1)}`,
      `(processor ${((used.user + used.system) / 1e6).toFixed(1)})`,
      `today ${planning.today.lostWeight}, best ${least}, bound ${planning.lowerBoundWeight.toFixed(0)}, gap ${(100 * planning.boundGap).toFixed(1)} %`,
    ].join('  '),
  );
}
