import { describe, expect, test } from 'vitest';
import { fitToCompare, type FitCapture } from '../../src-main/engine/fit-to-compare.ts';
import { UNKNOWN_SETTINGS, type CaptureSettings } from '../../src-main/model/capture.ts';
import { silentCondition } from '../../src-main/model/silent-condition.ts';
import { parseLevelUnit } from '../../src-main/units/parse-unit.ts';

const TODAY = '2026-03-01';
const GOOD: CaptureSettings = {
  ...UNKNOWN_SETTINGS,
  rbwHz: 1000,
  averages: 16,
  averaging: 'power',
  detector: 'rms',
  attenuationDb: 10,
};

/** 1 to 2 MHz in 2001 points 500 Hz apart. */
function capture(change: Partial<CaptureSettings> = {}, rest: Partial<FitCapture> = {}, unit = 'dBm'): FitCapture {
  return {
    file: 'a.csv',
    trace: {
      label: '',
      frequencyHz: Float64Array.from({ length: 2001 }, (_, i) => 1e6 + 500 * i),
      level: new Float64Array(2001),
      unit: unit === 'unknown' ? { name: 'unknown', scale: 'decibel', perHz: false } : parseLevelUnit(unit)!,
      settings: { ...GOOD, ...change },
    },
    condition: null,
    tables: [],
    ...rest,
  };
}
const names = (before: FitCapture[], after: FitCapture[] = []) =>
  fitToCompare(before, after, TODAY).map(({ name }) => name);

describe('one capture', () => {
  test('with everything stated and in order has nothing against it', () => {
    expect(fitToCompare([capture()], [], TODAY)).toEqual([]);
  });

  test.each<[string, Partial<CaptureSettings>, Partial<FitCapture>, string]>([
    ['clipping', { clippedSamples: 3 }, {}, '3 samples stand at full scale'],
    ['RBW', { rbwHz: null }, {}, 'its RBW is not stated'],
    ['RBW and spacing', { rbwHz: 100 }, {}, 'points lie 5 resolution bandwidths apart'],
    ['detector', { detector: 'unknown' }, {}, 'its detector is not stated'],
    ['trace mode', { averaging: 'unknown' }, {}, 'averaged or held'],
    // a filter of 1 kHz over 1 MHz needs 2·10⁶/10⁶ = 2 s
    [
      'sweep time and RBW',
      { sweepTimeS: 0.5 },
      {},
      '0.5 s are too short for a swept filter of 1000 Hz over this span (at least 2 s)',
    ],
    ['calibration', {}, { tables: [{ name: 'coil', dueOn: '2026-02-28' }] }, 'the table coil was due on 2026-02-28'],
    [
      'calibration',
      {},
      { condition: { ...silentCondition('a.csv'), calibratedOn: '2025-02-01' } },
      'more than a year ago',
    ],
  ])('%s is named', (name, change, rest, message) => {
    const [problem, ...others] = fitToCompare([capture(change, rest)], [], TODAY);
    expect(others).toEqual([]);
    expect(problem).toMatchObject({ name, weight: 'doubt' });
    expect(problem!.message).toMatch(/^a\.csv: /);
    expect(problem!.message).toContain(message);
  });

  test('the response of another gain state refuses, of an unstated one it is a doubt', () => {
    const tables = [{ name: 'channel A, high', dueOn: null, gainState: 'high' }];
    const inState = (gainState: string | null) => ({ tables, condition: { ...silentCondition('a.csv'), gainState } });
    expect(names([capture({}, inState('high'))])).toEqual([]);
    expect(fitToCompare([capture({}, inState('low'))], [], TODAY)).toMatchObject([
      { weight: 'refuses', name: 'gain state', message: expect.stringContaining('was taken in low') as string },
    ]);
    expect(fitToCompare([capture({}, inState(null))], [], TODAY)).toMatchObject([
      { weight: 'doubt', name: 'gain state' },
    ]);
    // the file's own word counts where the condition is silent
    expect(names([capture({ gainState: 'high' }, { tables })])).toEqual([]);
  });

  test('an unknown unit refuses comparison', () => {
    expect(fitToCompare([capture({}, {}, 'unknown')], [], TODAY)).toMatchObject([{ weight: 'refuses', name: 'unit' }]);
  });

  test('at the edges: due today, a year to the day, spacing equal to the RBW, a sweep just long enough, a computed spectrum', () => {
    const line = { coefficients: [1], halfPowerBins: 0.8859, widthHz: 800 };
    expect(
      names([
        capture(
          {},
          {
            tables: [
              { name: 'coil', dueOn: TODAY },
              { name: 'pad', dueOn: null },
            ],
          },
        ),
      ]),
    ).toEqual([]);
    expect(names([capture({}, { condition: { ...silentCondition('a.csv'), calibratedOn: '2025-03-01' } })])).toEqual(
      [],
    );
    expect(names([capture({ rbwHz: 500 })])).toEqual([]);
    expect(names([capture({ sweepTimeS: 2 })])).toEqual([]);
    expect(names([capture({ sweepTimeS: 0.01, computedLine: line })])).toEqual([]);
  });

  test('what its condition states counts as stated', () => {
    const condition = { ...silentCondition('a.csv'), rbwHz: 1000, detector: 'rms' as const };
    expect(names([capture({ rbwHz: null, detector: 'unknown' }, { condition })])).toEqual([]);
  });
});

describe('two sides', () => {
  test('alike have nothing against each other', () => {
    expect(names([capture()], [capture()])).toEqual([]);
  });

  test.each<[string, FitCapture]>([
    ['RBW', capture({ rbwHz: 2000 })],
    ['detector', capture({ detector: 'positive-peak' })],
    ['averaging', capture({ averaging: 'max-hold' })],
    ['attenuation', capture({ attenuationDb: 20 })],
    ['gain', capture({ gainDb: 20 })],
    ['gain state', capture({}, { condition: { ...silentCondition('a.csv'), gainState: 'low' } })],
    ['unit', capture({}, {}, 'dBµV')],
    ['calibration chain', capture({}, { tables: [{ name: 'cable 7', dueOn: null }] })],
    ['operating mode', capture({}, { condition: { ...silentCondition('a.csv'), mode: 'fetch' } })],
  ])('%s that differs is named', (name, other) => {
    expect(names([capture()], [other])).toContain(name);
    expect(names([other], [capture()])).toContain(name);
  });
});
