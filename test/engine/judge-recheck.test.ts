import { expect, test } from 'vitest';
import { openCapture } from '../../src-main/api/steps/open-capture.ts';
import { analyseTrace } from '../../src-main/engine/analyse.ts';
import { judgeRecheck, settingDifferencesOf, type RecheckInput } from '../../src-main/engine/judge-recheck.ts';
import type { BuildState } from '../../src-main/model/build-state.ts';
import type { Decision } from '../../src-main/model/decision.ts';
import type { Condition } from '../../src-main/model/condition.ts';
import { UNKNOWN_SETTINGS } from '../../src-main/model/capture.ts';
import { silentCondition } from '../../src-main/model/silent-condition.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../../src-main/model/triage-settings.ts';
import type { TriagedTrace } from '../../src-main/model/triaged-trace.ts';
import { columnToDecibels } from '../../src-main/units/levels.ts';
import { comb, smallCapture, type SmallCapture } from '../api/small-capture.ts';
import { source } from '../register/scene-data.ts';

const U1 = { ...source('U1'), nominalHz: 131_000 };
const POINTS = 2000;

function taken(file: string, capture: SmallCapture, condition: Partial<Condition> = {}): TriagedTrace {
  const [trace] = openCapture(smallCapture({ points: POINTS, ...capture }), file).traces;
  const all = { ...silentCondition(file), sourcesOn: ['U1'], sourcesOff: [], ...condition };
  const triage = analyseTrace({ trace: trace!, sources: [U1], condition: all, settings: DEFAULT_TRIAGE_SETTINGS });
  return { trace: trace!, levelDb: columnToDecibels(trace!.level, trace!.unit), triage, condition: all, file };
}

const state = (id: number, serial: string): BuildState => ({
  id,
  name: `S${id}`,
  description: '',
  parentId: null,
  at: '2026-01-01T00:00:00Z',
  configuration: [{ item: 'power board', serial, revision: 'A', detail: '' }],
});

const LINES = comb(131_000, 20, POINTS);
const BASELINE = taken('baseline.csv', { seed: 1, lines: LINES });

function judge(repeat: TriagedTrace | null, more: Partial<RecheckInput> = {}, dropped: string | null = null) {
  return judgeRecheck({
    recheck: {
      id: 1,
      freezeId: 1,
      eventId: 1,
      stateId: 2,
      by: '',
      at: '2026-01-02T00:00:00Z',
      items: [{ baselineCaptureId: 1, repeatedBy: repeat === null ? [] : [2], droppedBecause: dropped }],
    },
    states: [state(1, 'P-1'), state(2, 'P-1')],
    baselineStateId: 1,
    triaged: new Map([[1, BASELINE], ...(repeat === null ? [] : [[2, repeat] as const])]),
    sources: [U1],
    bands: [],
    ...more,
  });
}

test('a repeat of the same build holds, every line held', () => {
  const judged = judge(taken('r.csv', { seed: 2, lines: LINES }));
  expect(judged.verdict, judged.reasons.join('\n')).toBe('holds');
  expect(judged.counts).toMatchObject({ stronger: 0, new: 0, untested: 0 });
  expect(judged.counts.held + judged.counts.drift).toBe(BASELINE.triage.spurs.length);
});

test('one line ten decibels up, or one that was not there, falls short and is named', () => {
  const up = LINES.map(([hz, db], i): [number, number] => [hz, i === 3 ? db + 10 : db]);
  const stronger = judge(taken('r.csv', { seed: 2, lines: up }));
  expect(stronger.verdict).toBe('falls short');
  expect(stronger.lines.filter(({ finding }) => finding === 'stronger').map(({ harmonic }) => harmonic)).toEqual([4]);
  const more = judge(taken('r.csv', { seed: 2, lines: [...LINES, [777_300, 25]] }));
  expect(more.verdict).toBe('falls short');
  expect(
    more.lines.filter(({ finding }) => finding === 'new').map(({ frequencyHz }) => Math.round(frequencyHz / 1e3)),
  ).toEqual([777]);
});

test('a floor that would hide the lines tests nothing, and that is no pass', () => {
  const judged = judge(taken('r.csv', { seed: 2, lines: [], floorDbm: -66 }));
  expect(judged.verdict).toBe('not shown');
  expect(judged.counts.untested).toBe(BASELINE.triage.spurs.length);
});

test('lines that are gone count as weaker only where their source is known to have run', () => {
  const ran = judge(taken('r.csv', { seed: 2, lines: [] }));
  expect(ran.counts).toMatchObject({ weaker: BASELINE.triage.spurs.length, untested: 0 });
  const unknown = judge(taken('r.csv', { seed: 2, lines: [] }, { sourcesOn: null, sourcesOff: null }));
  expect(unknown.counts).toMatchObject({ weaker: 0, untested: BASELINE.triage.spurs.length });
  expect(unknown.verdict).toBe('not shown');
});

test('a comb that moved drifts, with its shift in hertz and ppm, and still holds', () => {
  const judged = judge(taken('r.csv', { seed: 2, lines: comb(131_400, 20, POINTS) }));
  expect(judged.counts.drift).toBeGreaterThan(4);
  expect(judged.verdict, judged.reasons.join('\n')).toBe('holds');
  const drifted = judged.lines.find(({ finding, harmonic }) => finding === 'drift' && harmonic === 5)!;
  expect(Math.abs(drifted.shiftHz! - 2000)).toBeLessThan(4 * drifted.shiftSigmaHz! + 20);
  expect(drifted.why).toMatch(/Moved by \+(1.999|2.00\d) Hz \(\+3.05\d ppm\)/);
});

test('no repeat, no state and a capture taken off the list are no pass; an exchanged board asks for it again', () => {
  expect(judge(null)).toMatchObject({
    verdict: 'not shown',
    waiting: [1],
    counts: { untested: BASELINE.triage.spurs.length },
  });
  const repeat = taken('r.csv', { seed: 2, lines: LINES });
  const recheck = (stateId: number | null, droppedBecause: string | null) => ({
    id: 1,
    freezeId: 1,
    eventId: 1,
    stateId,
    by: '',
    at: '2026-01-02T00:00:00Z',
    items: [{ baselineCaptureId: 1, repeatedBy: [], droppedBecause }],
  });
  expect(
    judge(repeat, {
      recheck: { ...recheck(null, null), items: [{ baselineCaptureId: 1, repeatedBy: [2], droppedBecause: null }] },
    }).verdict,
  ).toBe('not shown');
  expect(judge(null, { recheck: recheck(2, 'the port was not touched') })).toMatchObject({
    verdict: 'not shown',
    waiting: [],
  });
  const swapped = judge(null, {
    recheck: recheck(2, 'the port was not touched'),
    states: [state(1, 'P-1'), state(2, 'P-9')],
  });
  expect(swapped).toMatchObject({
    verdict: 'not shown',
    waiting: [1],
    swapped: [{ item: 'power board', frozen: 'P-1, A', found: 'P-9, A' }],
  });
  // with every capture repeated the new board's evidence is there
  expect(judge(repeat, { states: [state(1, 'P-1'), state(2, 'P-9')] }).verdict).toBe('holds');
});

test('every setting that is not the frozen one is named', () => {
  const as = {
    settings: { ...UNKNOWN_SETTINGS, rbwHz: 1000, averages: 16 },
    unitName: 'dBm',
    startHz: 1e6,
    stopHz: 2e6,
    points: 1001,
    condition: silentCondition('a'),
  };
  expect(settingDifferencesOf(as, as)).toEqual([]);
  const other = {
    ...as,
    settings: { ...as.settings, rbwHz: 3000, detector: 'rms' as const },
    points: 501,
    condition: { ...silentCondition('b'), mode: 'idle', temperatureC: 60 },
  };
  expect(settingDifferencesOf({ ...as, condition: { ...silentCondition('a'), temperatureC: 20 } }, other)).toEqual([
    { setting: 'RBW', frozen: '1 kHz', found: '3 kHz' },
    { setting: 'detector', frozen: 'unknown', found: 'rms' },
    { setting: 'points', frozen: '1001', found: '501' },
    { setting: 'mode', frozen: 'not stated', found: 'idle' },
    { setting: 'temperature', frozen: '20 °C', found: '60 °C' },
  ]);
});

test('a line that was decided to be another source’s is named as its, in the baseline or in the repeat', () => {
  const repeat = taken('r.csv', { seed: 2, lines: LINES });
  const spur = BASELINE.triage.spurs[4]!;
  const U2 = { ...source('U2'), nominalHz: spur.frequencyHz / 3 };
  const decision: Decision = {
    id: 1,
    captureId: 1,
    frequencyHz: spur.frequencyHz,
    kind: 'reassign',
    source: 'U2',
    harmonic: 3,
    note: '',
    by: 'A. Hart',
    at: '2026-01-02T00:00:00Z',
  };
  const at = ({ lines }: ReturnType<typeof judge>) =>
    lines.find(({ frequencyHz }) => Math.abs(frequencyHz - spur.frequencyHz) < 1e3)!;
  expect(at(judge(repeat, { sources: [U1, U2] })).source).toBe('U1');
  // one side says U2, the other U1: nobody’s until both are decided
  expect(at(judge(repeat, { sources: [U1, U2], decisions: [decision] })).source).toBe(null);
  const both = [decision, { ...decision, id: 2, captureId: 2 }];
  expect(at(judge(repeat, { sources: [U1, U2], decisions: both }))).toMatchObject({ source: 'U2', harmonic: 3 });
});
