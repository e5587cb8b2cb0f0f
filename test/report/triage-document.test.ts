import { expect, test } from 'vitest';
import { triageDocument } from '../../src-main/report/triage-document.ts';
import { expectShape, TRIAGE_SHAPE } from './document-shape.ts';
import { SILENT_CONDITION, spurAt, traceOf, TRIAGE, triagedCapture } from './sample-triage.ts';

const first = (document: unknown) => (document as { captures: Record<string, unknown>[] }).captures[0]!;

test('the document has every field of the command page, each of its kind', () => {
  expectShape(triageDocument([triagedCapture()], []), TRIAGE_SHAPE);
});

test('the document of a small capture is this, to the letter', () => {
  const capture = first(triageDocument([triagedCapture()], []));
  const { settings, ...rest } = capture;
  expect(rest).toEqual({
    file: 'a.csv',
    sha256: 'ab'.repeat(32),
    layout: 'two columns',
    points: 6,
    start_hz: 1e6,
    stop_hz: 1_000_500,
    rbw_hz: 1000,
    unit: 'dBm',
    averages: null,
    trace: '',
    trace_number: 1,
    traces: 1,
    role: 'item',
    sources_on: null,
    sources_off: null,
    warnings: ['Unit guessed by nobody.', 'Only six points.'],
    false_alarms_expected: 0.05,
    weakest_detectable_over_floor_db: 6.5,
    spurs: [
      {
        frequency_hz: 1_000_300,
        frequency_sigma_hz: 12.5,
        level: -60,
        level_sigma_db: 0.4,
        floor: -90,
        over_floor_db: 30,
        width_hz: 1000,
        shape: 'line',
        cause: 'source',
        candidates: [{ source: 'DC-A', harmonic: 3, predicted_hz: 1_000_290, predicted_sigma_hz: 8, chance: 2e-6 }],
        why: 'Third harmonic of DC-A.',
        crowded: false,
        band: null,
        over_allowed_db: null,
      },
    ],
    combs: [
      {
        source: 'DC-A',
        fundamental_hz: 333_430,
        fundamental_sigma_hz: 2.7,
        seen: 1,
        expected: 1,
        harmonics_seen: [3],
        harmonics_expected: [3],
        chance: 2e-6,
        could_also_be: ['DC-B'],
      },
    ],
    sources_below: [],
    families: [],
    spreads: [],
    not_seen: [{ source: 'CLK', reason: 'no harmonic in the span' }],
    reasons: { averages: 'neither the file nor the conditions state it' },
  });
  expect(settings).toMatchObject({
    false_alarms_per_capture: 0.05,
    claim_chance: 1e-3,
    match_sigma: 3,
    frequency_accuracy_ppm: 1,
    rbw_hz: 1000,
    source_tolerances: [{ source: 'DC-A', tolerance_ppm: 100_000, origin: 'default' }],
    origin: { claim_chance: 'default', rbw_hz: 'file', averages: 'nobody', floor_window_points: 'chosen' },
  });
});

test.each([
  // 10·log10 and 20·log10 undone by hand: −60 dB is 1e-6 of a power and 1e-3 of an amplitude; −90 dB is 1e-9 and 10^−4.5.
  { unit: { name: 'W', scale: 'power', perHz: false } as const, level: 1e-6, floor: 1e-9 },
  { unit: { name: 'V', scale: 'amplitude', perHz: false } as const, level: 1e-3, floor: 10 ** -4.5 },
  { unit: { name: 'unknown', scale: 'decibel', perHz: false } as const, level: -60, floor: -90 },
])('levels come back in the stated unit $unit.name, their uncertainty stays in dB', ({ unit, level, floor }) => {
  const capture = first(triageDocument([triagedCapture({ trace: traceOf({ unit }) })], []));
  const [spur] = capture['spurs'] as Record<string, number>[];
  expect(capture['unit']).toBe(unit.name);
  expect(spur!['level']).toBeCloseTo(level, 12);
  expect(spur!['floor']).toBeCloseTo(floor, 12);
  expect(spur!['level_sigma_db']).toBe(0.4);
});

test('what the conditions state goes over the file, and the document says so', () => {
  const condition = { ...SILENT_CONDITION, averages: 16, rbwHz: 3000, sourcesOff: ['DC-B'] };
  const capture = first(triageDocument([triagedCapture({ condition })], []));
  expect(capture).toMatchObject({ averages: 16, rbw_hz: 3000, sources_off: ['DC-B'] });
  expect(capture['settings']).toMatchObject({ origin: { averages: 'conditions', rbw_hz: 'conditions' } });
  expect(capture).not.toHaveProperty('reasons');
});

test('a figure that is not finite is null with its reason and never a bare NaN', () => {
  const triage = { ...TRIAGE, floor: { ...TRIAGE.floor, weakestDetectableOverFloorDb: Infinity } };
  const capture = first(triageDocument([triagedCapture({ triage })], []));
  expect(capture['weakest_detectable_over_floor_db']).toBeNull();
  expect(capture['reasons']).toMatchObject({ weakest_detectable_over_floor_db: 'no finite number: infinite' });
});

test('a spur of level minus infinity keeps the document valid JSON', () => {
  const triage = { ...TRIAGE, spurs: [spurAt(1_000_300, { floorDb: -Infinity })] };
  const document = triageDocument([triagedCapture({ triage })], []);
  expect(JSON.parse(JSON.stringify(document))).toEqual(document);
});

test('inputs that were refused are listed beside the captures that were done', () => {
  const problem = { file: 'b.csv', place: 'line 3', found: '"x"', expected: 'a number', wayOut: 'Export again.' };
  const document = triageDocument([triagedCapture()], [problem]);
  expectShape(document, TRIAGE_SHAPE);
  expect(document).toMatchObject({
    problems: [{ file: 'b.csv', place: 'line 3', found: '"x"', expected: 'a number', way_out: 'Export again.' }],
  });
});

test('a comb that several entries could own has one of them as source, for a null means that the register does not know it', () => {
  const combs = [
    { ...TRIAGE.combs[0]!, source: null, couldAlsoBe: ['DC-A', 'DC-B'] },
    { ...TRIAGE.combs[0]!, source: null, couldAlsoBe: [] },
  ];
  const capture = first(triageDocument([triagedCapture({ triage: { ...TRIAGE, combs } })], []));
  expect(capture['combs']).toMatchObject([
    { source: 'DC-A', could_also_be: ['DC-B'] },
    { source: null, could_also_be: [] },
  ]);
});

test('a spur in a protected band is told with its band and how far it stands over what is allowed there', () => {
  const bands = [{ name: 'B1', overAllowedDb: 12.5 }];
  const document = triageDocument([triagedCapture({ bands })], []);
  expect(first(document)['spurs']).toMatchObject([{ band: 'B1', over_allowed_db: 12.5 }]);
});
