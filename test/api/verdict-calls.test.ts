import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { BUILT_IN_LIMITS } from '../../src-main/engine/verdict/published/built-in-limits.ts';
import { startApi } from './running-api.ts';
import { smallCapture } from './small-capture.ts';

const SAMPLES = join(import.meta.dirname, '..', '..', 'sample-captures', 'wren', 'wren.json');
const BAND = {
  name: 'low',
  lowHz: 2e6,
  highHz: 3e6,
  channelHz: 20e3,
  channelOriginHz: null,
  allowedOverFloorDb: 10,
  allowedLevel: null,
  allowedUnit: null,
  weight: 1,
  sampleRateHz: null,
  localOscillatorHz: null,
};
const REQUIREMENT = {
  id: null,
  code: 'RX-1',
  text: '',
  bands: ['low'],
  demand: { kind: 'strongest-line' as const },
  limit: null,
  modes: [],
  temperatures: [],
  points: [],
};
const OPEN = { serials: [], modes: [], bands: [], points: [], temperature: null };

test('the demonstration tells its story: what S5 keeps, what falls short, what was never shown, and which acceptance is open again', async (context) => {
  if (!existsSync(SAMPLES)) return context.skip('no sample captures in this checkout');
  const { api } = startApi();
  await api.registerOpenDemo({});
  const [s5] = (await api.stateList({})).slice(-1);
  const judgement = await api.judgeRun({ stateId: s5!.id, jobId: 'j' });
  expect(judgement.heading).toBe('The build does not hold yet.');
  expect(judgement.verdicts.map(({ code, band, ruling, reason }) => `${code} ${band}: ${reason ?? ruling}`)).toEqual([
    'RX-010 low: falls short',
    'RX-010 middle: holds',
    'RX-010 high: holds',
    'RX-020 low: holds',
    'RX-020 middle: holds',
    'RX-020 high: masked',
    'RX-030 middle: not measured',
  ]);
  expect(judgement.dispositions.map(({ standing }) => standing)).toEqual(['in force', 'in force', 'grown']);
  expect(judgement.fixNext.ours[0]!.source).toBe('BUS-ISO');
  expect(judgement.fixNext.constraints[0]!.source).toBe('HOST-28V');
  expect(judgement.coverage.gaps).toBe(1);

  const [choice] = await api.gridChoices({});
  expect(choice).toMatchObject({ point: 'receiver port', mode: 'sounding', states: 6 });
  const grid = await api.gridRun({ captureIds: choice!.captureIds, jobId: 'g' });
  expect(grid.columns).toHaveLength(6);
  const ofBus = grid.tracks.filter(({ source }) => source === 'BUS-ISO');
  // the choke cleared lines in S4; taken out again in S5 they are back
  expect(
    ofBus.filter(({ cells }) => cells[4]?.status === 'cleared' && cells[5]?.status === 'back').length,
  ).toBeGreaterThan(5);
  expect(grid.columns[2]!.sentence).toMatch(/3V3-DIG, .* \+6\.[0-9] ± 1\.4 dB/);
});

test('bands are put, checked as their table is, renamed and removed unless a requirement rests on them', async () => {
  const { api } = startApi();
  expect(await api.bandPut({ band: BAND, replaces: null })).toHaveLength(1);
  await expect(api.bandPut({ band: { ...BAND, name: 'over' }, replaces: null })).rejects.toThrow(/overlaps/);
  await expect(api.bandPut({ band: { ...BAND, highHz: 1e6 }, replaces: 'low' })).rejects.toThrow(/above its beginning/);
  await expect(api.bandPut({ band: BAND, replaces: 'gone' })).rejects.toThrow(/no band gone/);
  await api.bandPut({
    band: { ...BAND, integrationS: 2000, channelResponse: 'hann', imageRejectionDb: 40, zone: 1, sampleRateHz: 20e6 },
    replaces: 'low',
  });
  expect(await api.bandList({})).toMatchObject([
    { name: 'low', integrationS: 2000, channelResponse: 'hann', imageRejectionDb: 40, zone: 1 },
  ]);
  const requirement = await api.requirementPut(REQUIREMENT);
  await expect(api.bandRemove({ name: 'low' })).rejects.toThrow(/RX-1 rest on low/);
  await api.requirementRemove({ id: requirement.id });
  expect(await api.bandRemove({ name: 'low' })).toEqual([]);
});

test('limits: built-in ones first, own ones from a table, none removed that a requirement rests on', async () => {
  const { api } = startApi();
  expect((await api.limitList({})).length).toBe(BUILT_IN_LIMITS.length);
  const text = 'name,unit,low_hz,high_hz,level\nown,dBm,1e6,2e6,-80\n';
  const own = (await api.limitImport({ file: 'limits.csv', text })).find(({ id }) => id !== null)!;
  expect(own.line).toMatchObject({ name: 'own', isConfirmed: true });
  await expect(
    api.limitImport({ file: 'limits.csv', text: text.replace('own', BUILT_IN_LIMITS[0]!.name.replaceAll(',', ' ')) }),
  ).resolves.toBeDefined();
  await expect(
    api.limitImport({
      file: 'l.csv',
      text: `name;unit;low_hz;high_hz;level\n${BUILT_IN_LIMITS[0]!.name};dBm;1e6;2e6;-80\n`,
    }),
  ).rejects.toThrow(/comes with the program/);
  expect([...(await api.limitAt({ name: 'own', frequencyHz: Float64Array.of(0.5e6, 1.5e6) }))]).toEqual([NaN, -80]);
  await expect(api.limitAt({ name: 'gone', frequencyHz: Float64Array.of(1) })).rejects.toThrow(/no limit line/);
  await api.bandPut({ band: BAND, replaces: null });
  await api.requirementPut({ ...REQUIREMENT, limit: 'own' });
  await expect(api.limitRemove({ id: own.id! })).rejects.toThrow(/1 requirement resting on it/);
});

test('bands, own limits and requirements go out as tables that come in again as they were, requirements in one step', async () => {
  const { api } = startApi();
  await api.bandPut({ band: BAND, replaces: null });
  await api.limitImport({ file: 'l.csv', text: 'name,unit,low_hz,high_hz,level\nown,dBm,1e6,2e6,-80\n' });
  const first = await api.requirementPut({ ...REQUIREMENT, limit: 'own', points: [] });
  await api.requirementPut({
    ...REQUIREMENT,
    code: 'RX-2',
    points: [],
    demand: { kind: 'clean-channels', atLeast: 0.9, as: 'share' },
  });
  const before = [await api.bandList({}), await api.requirementList({})];
  const [bandsOut, limitsOut, out] = [
    await api.bandExport({}),
    await api.limitExport({}),
    await api.requirementExport({}),
  ];
  expect(out.file).toMatch(/-requirements\.csv$/);
  expect(limitsOut.text).toContain('own,dBm');
  expect(limitsOut.text).not.toContain(BUILT_IN_LIMITS[0]!.name);
  await api.bandImport(bandsOut);
  await api.limitImport(limitsOut);
  await api.requirementImport(out);
  expect([await api.bandList({}), await api.requirementList({})]).toEqual(before);

  await api.requirementImport({ file: 'r.csv', text: 'id,text,bands\nRX-1,new words,low\nRX-3,,low\n' });
  expect((await api.requirementList({})).map(({ id, code, text }) => [id === first.id, code, text])).toEqual([
    [true, 'RX-1', 'new words'],
    [false, 'RX-2', REQUIREMENT.text],
    [false, 'RX-3', ''],
  ]);
  await api.undo({});
  expect(await api.requirementList({})).toEqual(before[1]);
  await expect(api.requirementImport({ file: 'r.csv', text: 'id,points\nRX-9,gone\n' })).rejects.toThrow(
    /RX-9: there is no measuring point “gone”/,
  );
  // a table of bands cannot take a band away from under a requirement
  await expect(api.bandImport({ file: 'b.csv', text: 'name,low_hz,high_hz\nother,5e6,6e6\n' })).rejects.toThrow(
    /resting on it/,
  );
  expect(await api.bandList({})).toEqual(before[0]);
});

test('requirements and acceptances are kept, checked, taken back by undo', async () => {
  const { api } = startApi();
  await api.bandPut({ band: BAND, replaces: null });
  await expect(api.requirementPut({ ...REQUIREMENT, bands: ['gone'] })).rejects.toThrow(/no band “gone”/);
  await expect(api.requirementPut({ ...REQUIREMENT, limit: 'gone' })).rejects.toThrow(/no limit line/);
  await api.requirementPut(REQUIREMENT);
  await expect(api.requirementPut(REQUIREMENT)).rejects.toThrow(/this ID a second time/);
  await expect(
    api.requirementPut({ ...REQUIREMENT, code: 'RX-2', demand: { kind: 'clean-channels', atLeast: 1.5, as: 'share' } }),
  ).rejects.toThrow(/at most 1/);
  await expect(
    api.requirementPut({ ...REQUIREMENT, code: 'RX-2', temperatures: [{ lowC: 30, highC: 15 }] }),
  ).rejects.toThrow(/from low to high/);
  const subject = { kind: 'not-exercised' as const, source: 'U7' };
  const disposition = {
    id: null,
    subject,
    reason: 'runs in ascent only',
    approver: 'lead',
    scope: OPEN,
    fromStateId: null,
    untilStateId: null,
    expiresOn: null,
  };
  await expect(api.dispositionPut({ ...disposition, reason: ' ' })).rejects.toThrow(/why it is accepted/);
  await expect(api.dispositionPut({ ...disposition, approver: '' })).rejects.toThrow(/who accepts it/);
  await expect(api.dispositionPut({ ...disposition, fromStateId: 9 })).rejects.toThrow(/no state 9/);
  const kept = await api.dispositionPut(disposition);
  expect(kept.at).toMatch(/^2026-03-01/);
  await api.undo({});
  expect(await api.dispositionList({})).toEqual([]);
  expect((await api.history({ limit: 5, beforeId: null }))[0]!.summary).toContain(
    'took back: added disposition that U7 does not run',
  );
  const { id: _, ...one } = disposition;
  const line = { kind: 'line', source: 'U7', harmonic: 3, levelDb: -90, levelSigmaDb: 0.5, unit: 'dBm' } as const;
  const lines = [1e6, 2e6, 3e6].map((frequencyHz) => ({ ...one, subject: { ...line, frequencyHz } }));
  await expect(api.dispositionPutMany({ dispositions: [lines[0]!, { ...lines[1]!, reason: '' }] })).rejects.toThrow(
    /why it is accepted/,
  );
  expect(await api.dispositionList({})).toEqual([]); // all or none
  expect(await api.dispositionPutMany({ dispositions: lines })).toHaveLength(3);
  await api.undo({});
  expect(await api.dispositionList({})).toEqual([]);
});

test('a state without captures is judged as not measured; one with a capture by it; an unknown state is refused', async () => {
  const { api } = startApi();
  await api.bandPut({ band: BAND, replaces: null });
  await api.requirementPut(REQUIREMENT);
  const state = await api.statePut({
    id: null,
    name: 'S0',
    description: '',
    parentId: null,
    at: '2026-03-01T10:00:00Z',
    configuration: [],
  });
  const empty = await api.judgeRun({ stateId: state.id, jobId: 'j' });
  expect(empty.verdicts).toMatchObject([{ ruling: 'not shown', reason: 'not measured' }]);
  const { capture } = await api.captureAdd({ file: 'small.csv', bytes: smallCapture(), jobId: 'a' });
  await api.captureAssign({ captureIds: [capture.id], stateId: state.id });
  const [verdict] = (await api.judgeRun({ stateId: state.id, jobId: 'j' })).verdicts;
  expect(verdict).toMatchObject({ captureIds: [capture.id], ruling: 'holds', point: null });
  await expect(api.judgeRun({ stateId: 99, jobId: 'j' })).rejects.toThrow(/no state 99/);
});

test('a decision on the line that decides changes whose it is, in the verdict and among what to fix next', async (context) => {
  if (!existsSync(SAMPLES)) return context.skip('no sample captures in this checkout');
  const { api } = startApi();
  await api.registerOpenDemo({});
  const [s5] = (await api.stateList({})).slice(-1);
  const short = async () => {
    const judgement = await api.judgeRun({ stateId: s5!.id, jobId: 'j' });
    return { judgement, verdict: judgement.verdicts.find(({ ruling }) => ruling === 'falls short')! };
  };
  const before = await short();
  const line = before.verdict.decidedBy!;
  expect(line.source).toBe('HOST-28V');
  await api.decisionPut({
    id: null,
    captureId: line.captureId,
    frequencyHz: line.frequencyHz,
    kind: 'reassign',
    source: 'HEAT-PWM',
    harmonic: null,
    note: 'moves with the heater',
    by: 'A. Hart',
  });
  const after = await short();
  expect(after.verdict.decidedBy).toMatchObject({ captureId: line.captureId, source: 'HEAT-PWM' });
  const costOf = ({ judgement }: typeof after, name: string) =>
    judgement.fixNext.ours.find(({ source }) => source === name);
  expect(costOf(after, 'HEAT-PWM')!.decidedBy).toEqual(['A. Hart']);
  expect(costOf(before, 'HEAT-PWM')?.decidedBy).toBeUndefined();
  // channels are lost whoever is named
  expect(after.judgement.costs).toEqual(before.judgement.costs);
});
