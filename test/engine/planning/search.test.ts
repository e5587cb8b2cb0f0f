import { expect, test } from 'vitest';
import { planFrequencies } from '../../../src-main/engine/plan.ts';
import { tryPlan } from '../../../src-main/engine/try-plan.ts';
import { seededRandom } from '../../../src-main/engine/numeric/random.ts';
import { LowestFirst } from '../../../src-main/engine/numeric/heap.ts';
import { sharedWeightBound } from '../../../src-main/engine/planning/shared-weight-bound.ts';
import { channelGrid } from '../../../src-main/engine/planning/channel-grid.ts';
import { PlanProblem } from '../../../src-main/engine/planning/plan-problem.ts';
import { Effort } from '../../../src-main/engine/planning/search-state.ts';
import { aBand, aSource, adjustable, settings } from './plan-lists.ts';

function manySources(seed: number, count: number, ppm = 0) {
  const random = seededRandom(seed);
  return Array.from({ length: count }, (_, i) => {
    const lowHz = 150e3 + Math.floor(random() * 300) * 1e3;
    return aSource(`S${i}`, lowHz + 41.7e3, { tolerancePpm: ppm, ...adjustable(lowHz, lowHz + 100e3, 1e3) });
  });
}

const BANDS = [aBand(2e6, 8e6, 10e3), aBand(9e6, 12e6, 10e3, { name: 'b', weight: 2 })];
const plan = (sources: ReturnType<typeof manySources>, change = {}) =>
  planFrequencies({ sources, bands: BANDS, settings: settings(change) });

test('the same seed gives the same plans, whatever was planned before', () => {
  const sources = manySources(3, 9);
  const [first, , third] = [plan(sources), plan(manySources(4, 5)), plan(sources)];
  expect(JSON.stringify(third)).toBe(JSON.stringify(first));
});

test('along the front more changes lose less, and what a plan says is what its settings cost', () => {
  const sources = manySources(5, 9);
  const planning = plan(sources);
  expect(planning.plans.length).toBeGreaterThan(3);
  let least = planning.today.lostWeight;
  let changes = 0;
  for (const one of planning.plans) {
    if (one.changes > changes) expect(one.lostWeight).toBeLessThan(least);
    [changes, least] = [one.changes, Math.min(least, one.lostWeight)];
    const again = tryPlan({ sources, bands: BANDS, settings: settings(), chosen: one.settings }).plan;
    expect(again).toEqual(one);
    expect(one.sources.filter(({ changed }) => changed)).toHaveLength(one.changes);
    for (const [i, { nominalHz }] of one.settings.entries()) {
      const { adjust } = sources[i]!;
      if (!one.sources[i]!.changed) continue;
      expect((nominalHz - adjust!.lowHz) % 1e3).toBe(0);
      expect(nominalHz).toBeGreaterThanOrEqual(adjust!.lowHz);
      expect(nominalHz).toBeLessThanOrEqual(adjust!.highHz);
    }
  }
  expect(least).toBeLessThan(planning.today.lostWeight / 2);
});

test('the lower bound holds for ten thousand plans drawn at random, and under the best', () => {
  const sources = manySources(6, 8, 300);
  const planning = plan(sources);
  const random = seededRandom(1);
  const problem = new PlanProblem(sources, channelGrid(BANDS), settings());
  for (let i = 0; i < 10_000; i++) {
    const assignment = sources.map(({ adjust }) => ({
      kind: 'free' as const,
      frequencyHz: adjust!.lowHz + Math.floor(random() * 101) * 1e3,
    }));
    expect(problem.weigh(problem.options(assignment))).toBeGreaterThanOrEqual(planning.lowerBoundWeight);
  }
  const least = Math.min(...planning.plans.map(({ lostWeight }) => lostWeight));
  expect(planning.lowerBoundWeight).toBeLessThanOrEqual(least);
  expect(planning.boundGap).toBeCloseTo((least - planning.lowerBoundWeight) / least, 12);
});

test('a bound from shared weights never exceeds the least union, tried out in full', () => {
  for (let seed = 0; seed < 20; seed++) {
    const random = seededRandom(seed);
    const sources = Array.from({ length: 3 }, (_, i) =>
      aSource(`S${i}`, 1e5 + random() * 4e5, { tolerancePpm: random() * 5e3 }),
    );
    const grid = channelGrid(BANDS);
    const problem = new PlanProblem(sources, grid, settings());
    const optionsOf = sources.map((_, place) =>
      Array.from({ length: 12 }, () =>
        problem.option(place, { kind: 'free', frequencyHz: 1e5 + random() * 4e5 }, problem.today),
      ),
    );
    let least = Infinity;
    for (const a of optionsOf[0]!)
      for (const b of optionsOf[1]!) for (const c of optionsOf[2]!) least = Math.min(least, problem.weigh([a, b, c]));
    const nothing = new Uint32Array(grid.words);
    const effort = new Effort(1e3, () => false);
    const [one, many] = [1, 200].map((rounds) => sharedWeightBound(optionsOf, nothing, grid, rounds, effort).bound) as [
      number,
      number,
    ];
    expect(many).toBeLessThanOrEqual(least);
    expect(many).toBeGreaterThanOrEqual(one);
    // and it is worth having: at least what the dearest source alone must cost, nearly
    const single = Math.max(...optionsOf.map((options) => Math.min(...options.map(({ weight }) => weight))));
    expect(many).toBeGreaterThan(0.7 * single);
  }
});

test('stopped early it gives the best so far and says that it is not complete', () => {
  const sources = manySources(7, 10);
  let asked = 0;
  const planning = planFrequencies({ sources, bands: BANDS, settings: settings(), isStopped: () => ++asked > 30 });
  expect(planning.isComplete).toBe(false);
  expect(planning.lowerBoundWeight).toBeLessThanOrEqual(
    Math.min(planning.today.lostWeight, ...planning.plans.map((p) => p.lostWeight)),
  );
  for (const one of planning.plans) expect(one.lostWeight).toBeLessThanOrEqual(planning.today.lostWeight);
});

test('where nothing may be changed today is the only plan, and is proven', () => {
  const sources = [aSource('A', 2e5), aSource('B', 3.1e5, { owner: 'host' })];
  const planning = plan(sources);
  expect(planning.plans).toEqual([]);
  expect(planning).toMatchObject({ isExact: true, boundGap: 0, lowerBoundWeight: planning.today.lostWeight });
});

test('a free-running source that blurs is offered a lock to a clock, and the lock is what brings channels back', () => {
  const sources = [
    aSource('XO', 8.192e6, { kind: 'clock', tolerancePpm: 20, maxHarmonic: 1 }),
    aSource('A', 3e5, { tolerancePpm: 50_000, ...adjustable(2.5e5, 4e5, 1e3) }),
  ];
  const planning = plan(sources);
  const [best] = planning.plans;
  expect(planning.today.lostChannels).toBeGreaterThan(700);
  expect(best!.settings[1]).toMatchObject({ lockedTo: 'XO', lockNumerator: 1 });
  expect(best!.settings[1]!.nominalHz).toBeCloseTo(8.192e6 / best!.settings[1]!.lockDenominator!, 6);
  expect(best!.lostChannels).toBeLessThan(60);
  expect(planning.assumptions.join(' ')).toContain('synchronisation input');
  const without = plan(sources, { offerLocks: false });
  expect(without.plans.every(({ settings: all }) => all[1]!.lockedTo === null)).toBe(true);
});

test('of a source without tolerance no lock is offered: it would bring nothing', () => {
  const sources = [aSource('XO', 8.192e6, { kind: 'clock', maxHarmonic: 1 }), ...manySources(8, 3)];
  for (const one of plan(sources).plans) for (const setting of one.settings) expect(setting.lockedTo).toBeNull();
});

test('the queue gives the lowest key first, and of equal keys the one added first', () => {
  const random = seededRandom(9);
  const queue = new LowestFirst<number>();
  const keys = Array.from({ length: 500 }, () => Math.floor(random() * 40));
  keys.forEach((key, i) => queue.push(key, i));
  const order = keys.map((_, i) => i).sort((a, b) => keys[a]! - keys[b]! || a - b);
  expect(keys.map(() => queue.pop())).toEqual(order);
  expect(queue.pop()).toBeUndefined();
});
