import { expect, test } from 'vitest';
import { apiProblemOf } from '../../src-main/api/api-problem.ts';
import type { RunningApi } from '../../src-main/api/create-api.ts';
import type { Source } from '../../src-main/model/source.ts';
import { aSource, adjustable } from '../engine/planning/plan-lists.ts';
import { comb, smallCapture } from './small-capture.ts';
import { startApi } from './running-api.ts';

const basis = {
  temperatureSpanK: 10,
  leakageHz: 0,
  offerLocks: true,
  seed: 1,
  useMeasured: false,
  leftOut: [] as string[],
};
const BANDS = 'name,low_hz,high_hz,channel_hz\nlow,1000000,2000000,5000\nhigh,2200000,3000000,5000\n';

async function scene(api: RunningApi, ...sources: Source[]) {
  for (const source of sources) await api.sourcePut({ source, replaces: null });
  await api.bandImport({ file: 'b.csv', text: BANDS });
}
const SOURCES = [
  aSource('A', 301_300, { tolerancePpm: 20_000, ...adjustable(250e3, 400e3, 1e3) }),
  aSource('B', 410_000, { tolerancePpm: 100 }),
];
const free = (source: string, nominalHz: number) => ({
  source,
  nominalHz,
  lockedTo: null,
  lockNumerator: null,
  lockDenominator: null,
});
const reasonOf = async (promise: Promise<unknown>) =>
  promise.then(
    () => 'nothing was refused',
    (error: unknown) => apiProblemOf(error).message,
  );

test('a search in the worker finds plans, and a trial of their settings costs what they say', async () => {
  const { api, events } = startApi();
  await scene(api, ...SOURCES);
  const planning = await api.planRun({ basis, quick: false, jobId: 'p' });
  expect(planning.plans.length).toBeGreaterThan(0);
  expect(events.some(({ name, event }) => name === 'progress' && 'jobId' in event && event.jobId === 'p')).toBe(true);
  const quick = await api.planRun({ basis, quick: true, jobId: 'q' });
  expect(quick.today).toEqual(planning.today);
  const trial = await api.planTry({ basis, chosen: planning.plans[0]!.settings });
  expect(trial.plan).toEqual(planning.plans[0]);
  expect(trial.today.plan).toEqual(planning.today);
  const lost = trial.owners.map(({ channels }) => channels.filter((owners) => owners > 0).length);
  expect(lost).toEqual(trial.plan.bands.map((band) => band.lost));
  expect((await api.planRisks({ basis, chosen: [] })).robustness.worstChannels).toBe(planning.today.lostChannels);
});

test('curve and map cost what a trial costs', async () => {
  const { api } = startApi();
  await scene(api, ...SOURCES);
  const curve = await api.planCurve({ basis, chosen: [], source: 'A', points: 4 });
  expect([...curve.frequencyHz]).toEqual([250e3, 300e3, 350e3, 400e3]);
  for (const [i, hz] of curve.frequencyHz.entries()) {
    const trial = await api.planTry({ basis, chosen: [free('A', hz)] });
    expect(curve.freeChannels[i]).toBe(trial.plan.lostChannels);
  }
  const held = { ...SOURCES[0]!, tolerancePpm: 0 };
  await api.sourcePut({ source: held, replaces: 'A' });
  await api.sourcePut({ source: { ...SOURCES[1]!, tolerancePpm: 0 }, replaces: 'B' });
  const map = await api.planMap({ basis, chosen: [], first: 'A', second: 'B', columns: 3, rows: 2 });
  for (const [j, b] of map.secondHz.entries())
    for (const [i, a] of map.firstHz.entries()) {
      const trial = await api.planTry({ basis, chosen: [free('A', a), free('B', b)] });
      expect(map.lostChannels[j * 3 + i]).toBe(trial.plan.lostChannels);
    }
});

test('without bands, and with a clock left out that others need, the reason is said', async () => {
  const { api } = startApi();
  await api.sourcePut({ source: aSource('XO', 10e6, { kind: 'clock' }), replaces: null });
  await api.sourcePut({
    source: aSource('L', 5e5, { lock: { to: 'XO', numerator: 1, denominator: 20 } }),
    replaces: null,
  });
  expect(await reasonOf(api.planRun({ basis, quick: true, jobId: 'p' }))).toContain('no band');
  await api.bandImport({ file: 'b.csv', text: BANDS });
  expect(await reasonOf(api.planTry({ basis: { ...basis, leftOut: ['XO'] }, chosen: [] }))).toContain(
    'L is locked to XO',
  );
  const both = await api.planTry({ basis: { ...basis, leftOut: ['XO', 'L'] }, chosen: [] }).catch(apiProblemOf);
  expect(both).toMatchObject({ message: expect.stringContaining('no source') as string });
});

test('an adopted plan makes its state, is undone in one step, and is held against captures of that state', async () => {
  const { api } = startApi();
  await scene(api, ...SOURCES);
  const chosen = [free('A', 303_000)];
  const adopted = await api.planAdopt({ title: 'move A', basis, chosen, stateName: 'S1', parentId: null });
  expect(adopted.plan.changes).toBe(1);
  const [state] = await api.stateList({});
  expect(state).toMatchObject({ name: 'S1', description: 'Planned: move A', id: adopted.stateId });
  expect(await api.planCheck({ id: adopted.id })).toBeNull();
  await api.undo({});
  expect([await api.planList({}), await api.stateList({})]).toEqual([[], []]);
  await api.redo({});

  const bytes = smallCapture({ lines: [...comb(303_050, 25), [1_111_300, 20]] });
  const { capture } = await api.captureAdd({ file: 'after.csv', bytes, jobId: 'c' });
  await api.captureAssign({ captureIds: [capture.id], stateId: state!.id });
  await api.triageRun({ captureId: capture.id, jobId: 't' });
  const check = (await api.planCheck({ id: adopted.id }))!;
  expect(check.captures).toEqual(['after.csv']);
  const [a, b] = check.sources;
  expect(a).toMatchObject({ source: 'A', predictedHz: 303_000, outcome: 'as planned', file: 'after.csv' });
  expect(a!.measuredHz).toBeCloseTo(303_050, -1);
  expect(b).toMatchObject({ source: 'B', outcome: 'not seen', measuredHz: null });
  const [low] = check.channels;
  expect(low!.both).toBeGreaterThanOrEqual(3);
  expect(low!.both + low!.onlyPredicted + low!.onlyMeasured + low!.neither + low!.uncovered).toBe(200);
  // the line nobody planned stands in a channel that the plan had left free
  expect(check.unforeseen.some(({ frequencyHz }) => Math.abs(frequencyHz - 1_111_300) < 500)).toBe(true);
  await api.planDrop({ id: adopted.id });
  expect(await api.planList({})).toEqual([]);
});

test('what was measured can stand for nominal frequency and tolerance of what runs today, and for nothing else', async () => {
  const { api } = startApi();
  await scene(api, ...SOURCES);
  const { capture } = await api.captureAdd({
    file: 'now.csv',
    bytes: smallCapture({ lines: comb(304_100, 25) }),
    jobId: 'c',
  });
  await api.triageRun({ captureId: capture.id, jobId: 't' });
  const [measured] = await api.planMeasured({});
  expect(measured).toMatchObject({ source: 'A', file: 'now.csv', loudest: { unit: 'dBm' } });
  expect(measured!.fundamentalHz).toBeCloseTo(304_100, -1);
  const known = { ...basis, useMeasured: true };
  const { today } = await api.planTry({ basis: known, chosen: [] });
  expect(today.plan.settings[0]!.nominalHz).toBe(measured!.fundamentalHz);
  expect(today.plan.sources[0]!.halfWidthPpm).toBeLessThan(200);
  const moved = await api.planTry({ basis: known, chosen: [free('A', 350e3)] });
  expect(moved.plan.sources[0]!.halfWidthPpm).toBeCloseTo(20_000, 6);
});

test('a guessed fundamental is scored against the lines of a capture', async () => {
  const { api } = startApi();
  const bytes = smallCapture({ lines: comb(217_000, 25) });
  const { capture } = await api.captureAdd({ file: 'a.csv', bytes, jobId: 'c' });
  expect(await api.guessScore({ captureId: capture.id, fundamentalHz: 217e3 })).toBeNull();
  await api.triageRun({ captureId: capture.id, jobId: 't' });
  const right = (await api.guessScore({ captureId: capture.id, fundamentalHz: 217_010 }))!;
  expect(right.harmonicsSeen).toHaveLength(right.expected);
  expect(right.chance).toBeLessThan(1e-12);
  expect(right.fittedHz).toBeCloseTo(217e3, -2);
  const wrong = (await api.guessScore({ captureId: capture.id, fundamentalHz: 229e3 }))!;
  expect(wrong.chance).toBeGreaterThan(1e-3);
});
