import { expect, test } from 'vitest';
import { planFrequencies } from '../../../src-main/engine/plan.ts';
import { tryPlan } from '../../../src-main/engine/try-plan.ts';
import { seededRandom } from '../../../src-main/engine/numeric/random.ts';
import type { SourceSetting } from '../../../src-main/model/plan.ts';
import type { Source } from '../../../src-main/model/source.ts';
import { aBand, aSource, adjustable, settings } from './plan-lists.ts';

const BANDS = [aBand(2e6, 3e6, 11e3, { name: 'a', weight: 2 }), aBand(5e6, 6.5e6, 13e3, { name: 'b' })];

/** Every combination of every setting, one by one: least lost weight for each number of changes. */
function exhaust(sources: readonly Source[]): number[] {
  const free = (source: string, nominalHz: number): SourceSetting => ({
    source,
    nominalHz,
    lockedTo: null,
    lockNumerator: null,
    lockDenominator: null,
  });
  const least = Array<number>(sources.length + 1).fill(Infinity);
  const walk = (i: number, chosen: readonly SourceSetting[]) => {
    if (i === sources.length) {
      const { plan } = tryPlan({ sources, bands: BANDS, settings: settings(), chosen });
      for (let k = plan.changes; k < least.length; k++) least[k] = Math.min(least[k]!, plan.lostWeight);
      return;
    }
    const { designator, adjust, nominalHz } = sources[i]!;
    walk(i + 1, [...chosen, free(designator, nominalHz)]);
    if (adjust === null) return;
    const steps = Math.round((adjust.highHz - adjust.lowHz) / adjust.stepHz!);
    for (let s = 0; s <= steps; s++) walk(i + 1, [...chosen, free(designator, adjust.lowHz + s * adjust.stepHz!)]);
  };
  walk(0, []);
  return least;
}

test.each([
  [1, 1, 0],
  [2, 2, 0],
  [3, 3, 0],
  [4, 4, 0],
  [5, 2, 2000],
  [6, 3, 500],
])(
  'case %d: %d sources at ±%d ppm: the plan is the optimum of all combinations, for every number of changes',
  (seed, count, ppm) => {
    const random = seededRandom(seed);
    const sources = Array.from({ length: count }, (_, i) => {
      const lowHz = 120e3 + Math.floor(random() * 200) * 1e3;
      const stepHz = 7e3;
      return aSource(`S${i}`, lowHz + 3e3, {
        tolerancePpm: ppm,
        ...adjustable(lowHz, lowHz + (count > 3 ? 4 : 7) * stepHz, stepHz),
      });
    });
    sources.push(aSource('FIX', 433e3, { tolerancePpm: ppm }));
    const least = exhaust(sources);
    const planning = planFrequencies({ sources, bands: BANDS, settings: settings() });
    expect(planning.isExact).toBe(true);
    expect(planning.boundGap).toBe(0);
    expect(planning.lowerBoundWeight).toBe(least[count]);
    const all = [planning.today, ...planning.plans];
    for (let k = 0; k <= count; k++)
      expect(
        Math.min(...all.filter(({ changes }) => changes <= k).map(({ lostWeight }) => lostWeight)),
        `${k} changes`,
      ).toBe(least[k]);
  },
);

test('with locks: dividers of a clock tried one by one give the same least', () => {
  const clock = aSource('XO', 8.192e6, { kind: 'clock', maxHarmonic: 1 });
  const lock = (denominator: number) => ({ lock: { to: 'XO', numerator: 1, denominator } });
  const sources = [
    clock,
    aSource('A', 8.192e6 / 30, { ...lock(30), ...adjustable(250e3, 300e3, null) }),
    aSource('B', 8.192e6 / 20, { ...lock(20), ...adjustable(380e3, 480e3, null) }),
  ];
  let least = Infinity;
  for (let a = 1; a < 100; a++)
    for (let b = 1; b < 100; b++) {
      const [fa, fb] = [8.192e6 / a, 8.192e6 / b];
      if (fa < 250e3 || fa > 300e3 || fb < 380e3 || fb > 480e3) continue;
      const moved = [
        clock,
        { ...sources[1]!, ...lock(a), nominalHz: fa },
        { ...sources[2]!, ...lock(b), nominalHz: fb },
      ];
      const { plan } = tryPlan({ sources: moved, bands: BANDS, settings: settings(), chosen: [] });
      least = Math.min(least, plan.lostWeight);
    }
  const planning = planFrequencies({ sources, bands: BANDS, settings: settings() });
  expect(planning.isExact).toBe(true);
  expect(Math.min(planning.today.lostWeight, ...planning.plans.map((plan) => plan.lostWeight))).toBe(least);
});

test('a clock that can be set takes the sources that it clocks along, in one change', () => {
  const clock = aSource('XO', 8e6, { kind: 'clock', maxHarmonic: 1, ...adjustable(8e6, 8.4e6, 0.1e6) });
  const locked = aSource('A', 0.8e6, { lock: { to: 'XO', numerator: 1, denominator: 10 } });
  // 5 … 5.02 MHz: 6 × 0.8 = 4.8, 6 × 0.84 = 5.04, but 6 × 0.83 = 4.98 and 6 × 0.835 = 5.01
  const bands = [aBand(4.79e6, 4.93e6, 10e3)];
  const { today, plans, isExact } = planFrequencies({ sources: [clock, locked], bands, settings: settings() });
  expect(today.lostChannels).toBeGreaterThan(0);
  expect(isExact).toBe(true);
  expect(plans[0]).toMatchObject({ changes: 1, lostChannels: 0 });
  const [xo, a] = plans[0]!.settings;
  expect(a!.nominalHz).toBeCloseTo(xo!.nominalHz / 10, 6);
});

/** All settings of one source while its clock runs at a frequency: today's, every step, every whole divider inside its range. */
function settingsOf(source: Source, clockHz: number, isLockOffered: boolean): SourceSetting[] {
  const { designator, adjust, nominalHz, lock } = source;
  const free = (hz: number): SourceSetting => ({
    source: designator,
    nominalHz: hz,
    lockedTo: null,
    lockNumerator: null,
    lockDenominator: null,
  });
  const locked = (numerator: number, denominator: number): SourceSetting => ({
    source: designator,
    nominalHz: (clockHz * numerator) / denominator,
    lockedTo: 'XO',
    lockNumerator: numerator,
    lockDenominator: denominator,
  });
  const isInside = (hz: number) => hz >= adjust!.lowHz && hz <= adjust!.highHz;
  const found = lock === null ? [free(nominalHz)] : [locked(lock.numerator, lock.denominator)];
  if (adjust === null) return found;
  if (lock === null && adjust.stepHz !== null)
    for (let hz = adjust.lowHz; hz <= adjust.highHz + 1e-6; hz += adjust.stepHz) found.push(free(hz));
  if (lock !== null || isLockOffered)
    for (const numerator of new Set([1, lock?.numerator ?? 1]))
      for (let d = 1; d < 200; d++) if (isInside((clockHz * numerator) / d)) found.push(locked(numerator, d));
  // one that its clock takes along must not leave its range, today's frequency excepted
  return found.filter(({ nominalHz: hz }) => isInside(hz) || hz === nominalHz);
}

/** Least lost weight for each number of changes over every setting of the clock and of all that it may clock. */
function exhaustClocked(clock: Source, others: readonly Source[]): number[] {
  const sources = [clock, ...others];
  const least = Array<number>(sources.length + 1).fill(Infinity);
  for (const xo of settingsOf(clock, NaN, false)) {
    const walk = (i: number, chosen: readonly SourceSetting[]) => {
      if (i < others.length) {
        for (const one of settingsOf(others[i]!, xo.nominalHz, others[i]!.tolerancePpm! > 100))
          walk(i + 1, [...chosen, one]);
        return;
      }
      const { plan } = tryPlan({ sources, bands: BANDS, settings: settings(), chosen });
      for (let k = plan.changes; k < least.length; k++) least[k] = Math.min(least[k]!, plan.lostWeight);
    };
    walk(0, [xo]);
  }
  return least;
}

const LOCKED = { lock: { to: 'XO', numerator: 1, denominator: 30 }, tolerancePpm: null };
test.each([
  ['a clock of the register and two sources that may be locked', null, 20_000, false],
  ['a clock that can be set and two sources that may be locked', adjustable(7.9e6, 8.4e6, 100e3), 20_000, false],
  ['a clock that can be set, one source locked, one that may be', adjustable(8e6, 8.4e6, 100e3), 5000, true],
  ['a clock that can be set and spreads, nothing surer than it', adjustable(8e6, 8.4e6, 100e3), 50, true],
] as const)('%s: the optimum of all combinations, for every number of changes', (_, range, ppm, isOneLocked) => {
  const clock = aSource('XO', 8.192e6, { kind: 'clock', tolerancePpm: 20, maxHarmonic: 1, ...range });
  const others = [
    aSource('A', isOneLocked ? 8.192e6 / 30 : 271e3, {
      tolerancePpm: ppm,
      ...adjustable(260e3, 290e3, isOneLocked ? null : 5e3),
      ...(isOneLocked ? LOCKED : {}),
    }),
    aSource('B', 407e3, { tolerancePpm: ppm, ...adjustable(390e3, 450e3, 12e3) }),
    aSource('FIX', 333e3, { tolerancePpm: 0 }),
  ];
  const least = exhaustClocked(clock, others);
  const planning = planFrequencies({ sources: [clock, ...others], bands: BANDS, settings: settings() });
  expect(planning.isExact).toBe(true);
  const all = [planning.today, ...planning.plans];
  for (let k = 0; k < least.length; k++)
    expect(
      Math.min(...all.filter(({ changes }) => changes <= k).map(({ lostWeight }) => lostWeight)),
      `${k} changes`,
    ).toBe(least[k]);
});
