import { expect, test, vi } from 'vitest';
import { planFrequencies } from '../../src-main/engine/plan.ts';
import { planCurve, planMap } from '../../src-main/engine/plan-curves.ts';
import { planRisks, tryPlan } from '../../src-main/engine/try-plan.ts';
import type { Client } from '../../src-main/api/contract.ts';
import type { SourceSetting } from '../../src-main/model/plan.ts';
import { Jobs } from '../../src-renderer/state/jobs.svelte.ts';
import { Notices } from '../../src-renderer/state/notices.svelte.ts';
import { Plan } from '../../src-renderer/state/plan.svelte.ts';
import { RegisterStore } from '../../src-renderer/state/register.svelte.ts';
import { aBand, aSource, adjustable, settings } from '../engine/planning/plan-lists.ts';

const sources = [
  aSource('XO', 8.192e6, { kind: 'clock', tolerancePpm: 20, maxHarmonic: 1 }),
  aSource('A', 310e3, { tolerancePpm: 20_000, ...adjustable(250e3, 400e3, 1e3) }),
  aSource('B', 430e3, { tolerancePpm: 20_000, ...adjustable(400e3, 500e3, 1e3) }),
];
const bands = [aBand(2e6, 6e6, 20e3)];

/** The engine behind the contract, without a register. */
function scene() {
  const kept: unknown[] = [];
  const calls: string[] = [];
  const input = (chosen: readonly SourceSetting[]) => ({ sources, bands, settings: settings(), chosen });
  const answers: Record<string, (argument: never) => unknown> = {
    planList: () => [],
    planMeasured: () => [],
    planRun: () => planFrequencies(input([])),
    planTry: ({ chosen }: { chosen: readonly SourceSetting[] }) => ({
      ...tryPlan(input(chosen)),
      today: tryPlan(input([])),
    }),
    planCurve: ({ chosen, source }: { chosen: readonly SourceSetting[]; source: string }) =>
      planCurve(input(chosen), source, 20),
    planMap: ({ chosen }: { chosen: readonly SourceSetting[] }) => planMap(input(chosen), 'A', 'B', 4, 4),
    planRisks: ({ chosen }: { chosen: readonly SourceSetting[] }) => planRisks(input(chosen)),
    planAdopt: (argument: unknown) => kept.push(argument),
  };
  const client = {
    call: (name: string, argument: never) => {
      calls.push(name);
      return Promise.resolve({ ok: true, value: answers[name]!(argument) });
    },
    on: () => () => {},
  } as unknown as Client;
  const register = new RegisterStore(client);
  register.bands = bands;
  register.sources = sources.map((source, order) => ({ source, letter: 'ABC'[order]!, order, revision: 1 }));
  const plan = new Plan(client, register, new Jobs(client), new Notices());
  return { plan, kept, calls, register };
}

test('the first look finds plans, shows the best and its two sources', async () => {
  const { plan } = scene();
  await plan.load();
  await vi.waitFor(() => expect(plan.risks).not.toBeNull());
  expect(plan.pair).toEqual(['A', 'B']);
  expect(plan.rankOfChosen).toBe(0);
  expect(plan.trial!.plan).toEqual(plan.ranked[0]);
  expect(plan.map).not.toBeNull();
});

test('steps keep to the range and to its steps, and every setting can be taken back and forth', async () => {
  const { plan } = scene();
  await plan.load();
  plan.reset();
  await vi.waitFor(() => expect(plan.trial!.plan.changes).toBe(0));
  const at = () => plan.settingOf('A')!.nominalHz;
  plan.step('A', 1);
  await vi.waitFor(() => expect(at()).toBe(311e3));
  plan.setFrequency('A', 399_400);
  await vi.waitFor(() => expect(at()).toBe(399_400));
  plan.step('A', 1);
  await vi.waitFor(() => expect(at()).toBe(400e3));
  plan.step('A', 1);
  await vi.waitFor(() => expect(at()).toBe(400e3));
  plan.back();
  await vi.waitFor(() => expect(at()).toBe(399_400));
  plan.back();
  plan.back();
  await vi.waitFor(() => expect(at()).toBe(310e3));
  plan.forward();
  await vi.waitFor(() => expect(at()).toBe(311e3));
  expect(plan.canGoForward).toBe(true);
});

test('L goes from lock to lock and round again', async () => {
  const { plan } = scene();
  await plan.load();
  plan.reset();
  await vi.waitFor(() => expect(plan.trial!.plan.changes).toBe(0));
  const seen: number[] = [];
  for (let i = 0; i < 3; i++) {
    plan.nextLock('A');
    const before = seen.at(-1) ?? 310e3;
    await vi.waitFor(() => expect(plan.settingOf('A')!.nominalHz).not.toBe(before));
    seen.push(plan.settingOf('A')!.nominalHz);
    expect(plan.settingOf('A')!.lockedTo).toBe('XO');
  }
  expect(seen[0]).toBeGreaterThan(310e3);
  expect([...seen].sort((a, b) => a - b)).toEqual(seen);
});

test('of settings that follow each other fast only the last one arrives', async () => {
  const { plan } = scene();
  await plan.load();
  plan.setFrequency('A', 301e3);
  plan.setFrequency('A', 302e3);
  plan.setFrequency('A', 303e3);
  const tried: number[] = [];
  await vi.waitFor(() => {
    tried.push(plan.trial!.plan.settings[1]!.nominalHz);
    expect(tried.at(-1)).toBe(303e3);
  });
  expect(tried).not.toContain(301e3);
  expect(tried).not.toContain(302e3);
});

test('without bands nothing is asked for but lists', async () => {
  const { plan, calls, register } = scene();
  register.bands = [];
  await plan.load();
  expect(plan.isPossible).toBe(false);
  expect(new Set(calls)).toEqual(new Set(['planList', 'planMeasured']));
});

test('keeping hands over basis, settings, and the name of the state', async () => {
  const { plan, kept } = scene();
  await plan.load();
  expect(await plan.keep('quieter', 'S7', 3)).toBe(true);
  expect(kept).toEqual([{ title: 'quieter', basis: plan.basis, chosen: plan.chosen, stateName: 'S7', parentId: 3 }]);
});
