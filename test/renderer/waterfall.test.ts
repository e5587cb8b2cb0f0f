import { describe, expect, test } from 'vitest';
import type { CaptureSummary } from '../../src-main/api/contract.ts';
import { inkRamp, RAMP_STEPS, rampStep } from '../../src-renderer/plots/ink-ramp.ts';
import { Notices } from '../../src-renderer/state/notices.svelte.ts';
import { RegisterStore } from '../../src-renderer/state/register.svelte.ts';
import { ordered, WaterfallStore } from '../../src-renderer/state/waterfall.svelte.ts';
import { FakeClient } from './fake-client.ts';

describe('inkRamp and rampStep', () => {
  test('goes from paper to ink in eight steps of rising darkness and no hue', () => {
    const ramp = inkRamp('#ffffff', '#000000');
    expect(ramp).toHaveLength(RAMP_STEPS);
    expect(ramp[0]).toEqual([255, 255, 255]);
    expect(ramp.at(-1)).toEqual([0, 0, 0]);
    for (const [red, green, blue] of ramp) expect([green, blue]).toEqual([red, red]);
    for (let i = 1; i < ramp.length; i++) expect(ramp[i]![0]).toBeLessThan(ramp[i - 1]![0]);
  });

  test.each([
    [-200, 0],
    [-100, 0],
    [-90.01, 0],
    [-90, 1],
    [-20.001, 7],
    [500, 7],
    [-Infinity, 0],
    [Infinity, 7],
  ])('%d dB between −100 and −20 dB is step %d', (level, step) => {
    expect(rampStep(level, -100, -20)).toBe(step);
  });

  test('a blank has no step: it is drawn as not measured', () => {
    expect(rampStep(NaN, -100, -20)).toBeNull();
  });
});

const capture = (id: number, temperatureC: number | null, stateId: number | null) =>
  ({ id, stateId, condition: { temperatureC } }) as unknown as CaptureSummary;

describe('ordered(captures, order)', () => {
  const all = [capture(1, 20, 3), capture(2, null, 1), capture(3, -30, null), capture(4, 20, 1)];
  const rank = ({ stateId }: CaptureSummary) => [1, 2, 3].indexOf(stateId ?? 0);
  test.each([
    ['taken in', [1, 2, 3, 4]],
    ['temperature', [3, 1, 4, 2]],
    ['build state', [2, 4, 1, 3]],
  ] as const)('by %s, with what is not known last', (order, ids) => {
    expect(ordered(all, order, rank).map(({ id }) => id)).toEqual(ids);
  });
});

test('only captures of the same point, role and unit share a waterfall', async () => {
  const client = new FakeClient();
  const register = new RegisterStore(client);
  await register.loadAll();
  const [first, second, third] = register.captures;
  register.captures = [
    { ...first!, pointId: 1 },
    { ...second!, pointId: 1 },
    { ...third!, pointId: 2 },
  ];
  const store = new WaterfallStore(client, register, new Notices(), () => register.captures[0]!);
  expect(store.captures.map(({ id }) => id)).toEqual([first!.id, second!.id]);
  store.want({ lowHz: 2e6, highHz: 3e6, columns: 50 });
  await new Promise((done) => setTimeout(done, 20));
  expect(store.view!.rows.map(({ captureId }) => captureId)).toEqual([first!.id, second!.id]);
  expect(store.spanHz).toMatchObject({ lowHz: 2e6, highHz: 3e6 });
});
