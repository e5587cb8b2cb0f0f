import { expect, test } from 'vitest';
import type { Condition } from '../../src-main/model/condition.ts';
import { handSource } from '../engine/tracking/hand-triage.ts';
import { startApi, type Started } from './running-api.ts';
import { comb, smallCapture, type SmallCapture } from './small-capture.ts';

const A = (stretch = 1) => comb(303_000 * stretch, 25);
const STATION: [number, number] = [1_500_000, 22];
const RESIDUAL: [number, number] = [2_222_200, 20];

async function add(
  { api }: Started,
  file: string,
  capture: SmallCapture,
  condition: Partial<Condition>,
): Promise<number> {
  const added = await api.captureAdd({ file, bytes: smallCapture(capture), jobId: 'j' });
  const { id } = added.capture;
  await api.captureAssign({ captureIds: [id], condition });
  return id;
}

async function bench(started: Started) {
  await started.api.sourcePut({ source: handSource('DC-A', 300e3, { tolerancePpm: 30_000 }), replaces: null });
  const item = await add(started, 'item.csv', { seed: 1, lines: [...A(), STATION, RESIDUAL] }, {});
  await add(started, 'off.csv', { seed: 2, lines: [STATION, RESIDUAL] }, { role: 'off' });
  await add(started, 'end.csv', { seed: 3, lines: [RESIDUAL] }, { role: 'terminated', terminatedAt: 'analyser' });
  return item;
}

test('a capture is weighed against the others, which are triaged first where needed', async () => {
  const started = startApi();
  const { api } = started;
  const captureId = await bench(started);
  expect(await api.evidenceGet({ captureId })).toBeNull();
  const view = await api.evidenceRun({ captureId, jobId: 'j' });
  const triage = (await api.triageGet({ captureId }))!;
  expect(view.explanations).toHaveLength(triage.spurs.length);
  const causeAt = (hz: number) =>
    view.explanations[triage.spurs.findIndex((spur) => Math.abs(spur.frequencyHz - hz) < 500)]!.cause;
  expect([causeAt(STATION[0]), causeAt(RESIDUAL[0]), causeAt(5 * 303e3)]).toEqual(['ambient', 'instrument', 'source']);
  expect(view.references.map(({ file, as }) => [file, as])).toEqual([
    ['off.csv', 'sources-off'],
    ['end.csv', 'terminated'],
  ]);
  // the capture's own triage stays what it was
  expect(triage.explanations.map(({ cause }) => cause)).not.toContain('ambient');
  expect(await api.evidenceGet({ captureId })).toEqual(view);
});

test('a changed condition of another capture asks for its triage anew', async () => {
  const started = startApi();
  const { api } = started;
  const captureId = await bench(started);
  await api.evidenceRun({ captureId, jobId: 'j' });
  const off = (await api.captureList({})).find(({ file }) => file === 'off.csv')!;
  await api.captureAssign({ captureIds: [off.id], condition: { averages: 8 } });
  expect(await api.evidenceGet({ captureId })).toBeNull();
});

test('a capture of another measuring point says nothing, by the name the register gave it', async () => {
  const started = startApi();
  const { api } = started;
  const captureId = await bench(started);
  const point = (name: string) =>
    api.pointPut({
      id: null,
      name,
      kind: 'other',
      where: '',
      coupling: '',
      conductors: '',
      orientation: '',
      heightM: null,
      bonding: '',
      notes: '',
    });
  const [here, there] = [await point('P1'), await point('P2')];
  const off = (await api.captureList({})).find(({ file }) => file === 'off.csv')!;
  await api.captureAssign({ captureIds: [captureId], pointId: here.id });
  await api.captureAssign({ captureIds: [off.id], pointId: there.id });
  const view = await api.evidenceRun({ captureId, jobId: 'j' });
  expect(view.references).toMatchObject([
    { file: 'end.csv', as: 'terminated' },
    { file: 'off.csv', as: 'none', why: 'taken at another measuring point (P2)' },
  ]);
});

test('a decision is kept through a re-run and says where the evidence now disagrees', async () => {
  const started = startApi();
  const { api } = started;
  const captureId = await bench(started);
  const decided = { id: null, captureId, kind: 'reassign', note: '', by: '' } as const;
  await api.decisionPut({ ...decided, frequencyHz: STATION[0], source: 'DC-A', harmonic: null });
  await api.decisionPut({ ...decided, frequencyHz: 5 * 303e3, source: 'DC-A', harmonic: 5, cause: 'source' });
  const { decisions } = await api.evidenceRun({ captureId, jobId: 'j' });
  expect(decisions.map(({ standing, foundBy }) => [standing, foundBy])).toEqual([
    ['evidence disagrees', 'frequency'],
    ['agrees', 'source and harmonic'],
  ]);
  expect(decisions[0]!.sentence).toBe('Entered as DC-A, but the evidence of today says from outside.');
  expect((await api.decisionList({ captureId })).map(({ source, cause }) => [source, cause ?? null])).toEqual([
    ['DC-A', null],
    ['DC-A', 'source'],
  ]);
});

test('drift over temperature is offered and entered in one step', async () => {
  const started = startApi();
  const { api } = started;
  await api.sourcePut({ source: handSource('DC-A', 300e3, { tolerancePpm: 30_000 }), replaces: null });
  for (const [seed, temperatureC] of [10, 25, 40].entries()) {
    const captureId = await add(
      started,
      `${temperatureC}.csv`,
      { seed: 10 + seed, lines: A(1 + 200e-6 * (temperatureC - 25)) },
      { temperatureC },
    );
    await api.triageRun({ captureId, jobId: 'j' });
  }
  const [drift] = await api.driftOffers({});
  expect(Math.abs(drift!.ppmPerK - 200)).toBeLessThan(3 * drift!.sigmaPpmPerK);
  await api.sourcePut({ source: drift!.offer!, replaces: drift!.source });
  const [entry] = await api.sourceList({});
  expect(entry!.source.driftPpmPerK).toBe(drift!.offer!.driftPpmPerK);
});
