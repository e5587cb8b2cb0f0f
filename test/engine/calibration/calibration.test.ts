import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { applyChain, isChainRefused, type Calibrated } from '../../../src-main/engine/calibration/apply-chain.ts';
import { checkKnownTone } from '../../../src-main/engine/calibration/known-tone.ts';
import { tableAt } from '../../../src-main/engine/calibration/table-at.ts';
import { tableProblem, type CalibrationTable, type StageKind } from '../../../src-main/model/calibration.ts';
import { UNKNOWN_SETTINGS } from '../../../src-main/model/capture.ts';
import { levelMeaning } from '../../../src-main/model/level-meaning.ts';
import type { Trace } from '../../../src-main/model/trace.ts';
import { parseLevelUnit } from '../../../src-main/units/parse-unit.ts';

const stage = (
  kind: StageKind,
  rows: readonly (readonly [number, number, number?])[],
  units: CalibrationTable['units'] = null,
): CalibrationTable => ({
  id: 1,
  name: kind,
  kind,
  frequencyHz: rows.map(([hz]) => hz),
  valueDb: rows.map(([, db]) => db),
  uncertaintyDb: rows.every((row) => row[2] !== undefined) ? rows.map((row) => row[2]!) : null,
  units,
  source: 'invented for a test',
  date: '2026-01-31',
  dueOn: null,
});
const traceOf = (frequencyHz: number[], level: number[], unit: string): Trace => ({
  label: '',
  frequencyHz: Float64Array.from(frequencyHz),
  level: Float64Array.from(level),
  unit: parseLevelUnit(unit)!,
  settings: UNKNOWN_SETTINGS,
});
const applied = (...argument: Parameters<typeof applyChain>): Calibrated => {
  const result = applyChain(...argument);
  if (isChainRefused(result)) throw new Error(result.found);
  return result;
};
const antenna = stage(
  'transducer',
  [
    [30e6, 8.08],
    [300e6, 8.08],
  ],
  { from: 'dBµV', to: 'dBµV/m' },
);

describe('the response of a receiver’s channel', () => {
  const response: CalibrationTable = {
    ...stage('channel', [
      [-100e3, 57, 0.4],
      [0, 60, 0.2],
      [100e3, 54, 0.6],
    ]),
    axis: 'offset',
    gainState: 'high',
  };
  const tuned = (level: number[]): Trace => ({
    ...traceOf([9.9e6, 9.95e6, 10e6, 10.05e6, 10.1e6], level, 'dBFS'),
    settings: { ...UNKNOWN_SETTINGS, centreHz: 10e6 },
  });

  test('is taken away at the offset from the tuned frequency, linear in it, through 0 (worked by hand)', () => {
    const { trace, sigmaDb } = applied(tuned([0, 0, 0, 0, 0]), [response]);
    expect([...trace.level].map((db) => Number(db.toFixed(9)))).toEqual([-57, -58.5, -60, -57, -54]);
    expect([...sigmaDb].map((db) => Number(db.toFixed(9)))).toEqual([0.4, 0.3, 0.2, 0.4, 0.6]);
    expect(trace.settings.channelResponse).toBe('channel');
  });

  test('a flat spectrum behind it comes back flat: what the channel does is undone', () => {
    const shaped = [...tuned([0, 0, 0, 0, 0]).frequencyHz].map((hz) => -120 + tableAt(response, hz - 10e6)!.valueDb);
    const { trace } = applied(tuned(shaped), [response]);
    for (const db of trace.level) expect(db).toBeCloseTo(-120, 9);
  });

  test('a trace that does not say what it was tuned to is refused, and beyond the rows nothing is guessed', () => {
    expect(applyChain(traceOf([9.9e6, 10e6], [0, 0], 'dBFS'), [response])).toMatchObject({
      wayOut: expect.stringContaining('centre frequency') as string,
    });
    expect(tableAt(response, 100_001)).toBeNull();
    expect(tableProblem(response)).toBeNull();
    expect(tableProblem({ ...response, frequencyHz: [0, -1, 1] })).toContain('after');
    const { axis: _axis, ...absolute } = response;
    expect(tableProblem(absolute)).toContain('-100000');
  });
});

describe('tableAt(table, frequency)', () => {
  // 47 CFR 15.107 and EN 55022 class B: 66 to 56 dBµV from 0.15 to 0.5 MHz “decreases with the logarithm of the frequency”
  test.each([
    [200e3, 63.611],
    [250e3, 61.757],
    [300e3, 60.243],
    [400e3, 57.853],
  ])(
    'decibels are linear in the logarithm of frequency: at %f Hz %f (a published limit’s slope, computed)',
    (hz, db) => {
      expect(
        tableAt(
          stage('loss', [
            [150e3, 66],
            [500e3, 56],
          ]),
          hz,
        )!.valueDb,
      ).toBeCloseTo(db, 3);
    },
  );

  test('rows give themselves; outside is nothing; one row holds everywhere', () => {
    const table = stage('loss', [
      [1e6, 1, 0.1],
      [2e6, 3, 0.3],
      [9e6, 2, 0.2],
    ]);
    for (const [i, hz] of table.frequencyHz.entries())
      expect(tableAt(table, hz)).toEqual({ valueDb: table.valueDb[i], sigmaDb: table.uncertaintyDb![i] });
    for (const hz of [0, 999_999, 9_000_001, NaN, -1e6]) expect(tableAt(table, hz)).toBeNull();
    expect(tableAt(stage('attenuation', [[1e6, 20]]), 5e9)).toEqual({ valueDb: 20, sigmaDb: null });
  });

  test('lies between its neighbours and is the same walked through by hand', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.integer({ min: 1, max: 1000 }), { minLength: 2, maxLength: 12 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (hz, share) => {
          const frequencies = hz.sort((a, b) => a - b);
          const table = stage(
            'gain',
            frequencies.map((f) => [f, Math.sin(f) * 10]),
          );
          const at = frequencies[0]! + share * (frequencies.at(-1)! - frequencies[0]!);
          const k = frequencies.findIndex((f, i) => f <= at && at <= (frequencies[i + 1] ?? -1));
          const [f0, f1] = [frequencies[k]!, frequencies[k + 1]!];
          const expected =
            table.valueDb[k]! +
            ((table.valueDb[k + 1]! - table.valueDb[k]!) * Math.log10(at / f0)) / Math.log10(f1 / f0);
          expect(tableAt(table, at)!.valueDb).toBeCloseTo(expected, 9);
        },
      ),
    );
  });
});

describe('applyChain(trace, tables)', () => {
  test('E = V + AF + loss − gain: the preamplifier is taken away (a public converter page adds it)', () => {
    const { trace, isFactored } = applied(traceOf([100e6, 200e6], [40, 50], 'dBµV'), [
      stage('gain', [
        [1e6, 20],
        [1e9, 20],
      ]),
      stage('loss', [
        [1e6, 1.2],
        [1e9, 1.2],
      ]),
      antenna,
    ]);
    expect(trace.level[0]).toBeCloseTo(40 + 8.08 + 1.2 - 20, 9);
    expect(trace.unit.name).toBe('dBµV/m');
    expect(isFactored).toBe(true);
  });

  test('a current probe: 107 dBµV of a probe of 0 dBΩ is 107 dBµA, and no 34 dB come off besides', () => {
    const probe = stage(
      'probe',
      [
        [1e3, 10],
        [1e9, 10],
      ],
      { from: 'dBµV', to: 'dBµA' },
    );
    const { trace } = applied(traceOf([1e6, 2e6], [117, 117], 'dBµV'), [probe]);
    expect(trace.level[0]).toBeCloseTo(107, 9);
    expect(trace.unit.name).toBe('dBµA');
  });

  test('a transducer fed in dBm, V or mV is fed in its own unit first: 0 dBm in 50 Ω is 106.99 dBµV', () => {
    expect(applied(traceOf([100e6, 200e6], [0, 0], 'dBm'), [antenna]).trace.level[0]).toBeCloseTo(106.9897 + 8.08, 3);
    expect(applied(traceOf([100e6, 200e6], [1, 1], 'V'), [antenna]).trace.level[0]).toBeCloseTo(120 + 8.08, 9);
    expect(applied(traceOf([100e6, 200e6], [1, 1], 'mV'), [antenna]).trace.level[0]).toBeCloseTo(60 + 8.08, 9);
  });

  test('without a unit, or with a ratio, a transducer is refused and plain stages are not', () => {
    for (const unit of ['dBFS', 'dBc', 'dB']) {
      const refused = applyChain(traceOf([100e6, 200e6], [0, 0], unit), [antenna]);
      expect(isChainRefused(refused) && refused.found).toBe(`levels in ${unit}`);
      expect(applied(traceOf([100e6, 200e6], [0, 0], unit), [stage('attenuation', [[1, 20]])]).trace.level[1]).toBe(20);
    }
  });

  test('nothing is extrapolated: points outside a table lose their level, and it is said from where to where', () => {
    const { trace, warnings, sigmaDb } = applied(traceOf([1e6, 2e6, 3e6, 4e6], [1, 2, 3, 4], 'dBm'), [
      stage('loss', [
        [2e6, 1, 0.5],
        [3e6, 1, 0.5],
      ]),
    ]);
    expect([...trace.level]).toEqual([NaN, 3, 4, NaN]);
    expect([...sigmaDb]).toEqual([NaN, 0.5, 0.5, NaN]);
    expect(warnings).toHaveLength(1);
    expect(warnings[0]).toMatch(
      /^The table loss reaches from 2.MHz to 3.MHz: 2 of 4 points, from 1.MHz to 4.MHz, lie outside it and have no level\.$/,
    );
    const refused = applyChain(traceOf([10e6, 20e6], [0, 0], 'dBm'), [
      stage('loss', [
        [2e6, 1],
        [3e6, 1],
      ]),
    ]);
    expect(isChainRefused(refused) && refused.wayOut).toMatch(/not guessed beyond its rows/);
  });

  test('uncertainties add in quadrature, and a table without one is named', () => {
    const { sigmaDb, warnings } = applied(traceOf([1e6, 2e6], [0, 0], 'dBm'), [
      stage('loss', [
        [1e5, 1, 0.3],
        [1e9, 1, 0.3],
      ]),
      stage('gain', [
        [1e5, 1, 0.4],
        [1e9, 1, 0.4],
      ]),
      stage('attenuation', [
        [1e5, 1],
        [1e9, 1],
      ]),
    ]);
    expect(sigmaDb[0]).toBeCloseTo(0.5, 9);
    expect(warnings.join()).toMatch(/The table attenuation states no uncertainty/);
  });

  test('a stage and its opposite cancel, the order of plain stages does not matter, and the trace that went in is untouched', () => {
    const trace = traceOf([1e6, 2e6, 5e6], [-80, -70.5, -90], 'dBm');
    const wavy = [
      [1e5, 3],
      [1.5e6, -2],
      [1e9, 12],
    ] as const;
    const [gain, loss] = [stage('gain', wavy), stage('loss', wavy)];
    expect([...applied(trace, [gain, loss]).trace.level].map((db) => Number(db.toFixed(9)))).toEqual([-80, -70.5, -90]);
    const pad = stage('attenuation', [[1, 6]]);
    const swapped = applied(trace, [gain, pad]).trace.level;
    for (const [i, db] of applied(trace, [pad, gain]).trace.level.entries()) expect(db).toBeCloseTo(swapped[i]!, 9);
    expect([...trace.level]).toEqual([-80, -70.5, -90]);
    expect(applied(trace, []).trace.level).toEqual(trace.level);
  });
});

describe('checkKnownTone', () => {
  test('agrees within twice the uncertainties added in quadrature, and says by how much it is off', () => {
    const tone = { frequencyHz: 10e6, levelDb: -40, sigmaDb: 0.3 };
    const good = checkKnownTone(tone, { levelDb: -40.9, sigmaDb: 0 }, 0.4);
    expect(good).toMatchObject({ agrees: true, sigmaDb: 0.5 });
    expect(good.differenceDb).toBeCloseTo(-0.9, 9);
    const bad = checkKnownTone(tone, { levelDb: -38.9, sigmaDb: 0 }, 0.4);
    expect(bad.agrees).toBe(false);
    expect(bad.why).toBe(
      'The tone reads 1.10 dB high where the stated uncertainties allow ±1.00 dB (95 %): the chain is not what its tables say.',
    );
  });
});

test.each([
  [{ frequencyHz: [], valueDb: [], uncertaintyDb: null }, 'no row'],
  [{ frequencyHz: [1, 1], valueDb: [0, 0], uncertaintyDb: null }, '1 Hz after 1 Hz in row 2'],
  [{ frequencyHz: [0, 1], valueDb: [0, 0], uncertaintyDb: null }, 'a frequency of 0 Hz in row 1'],
  [{ frequencyHz: [1, 2], valueDb: [0, NaN], uncertaintyDb: null }, 'no number for the value in row 2'],
  [{ frequencyHz: [1, 2], valueDb: [0], uncertaintyDb: null }, '1 values for 2 frequencies'],
  [{ frequencyHz: [1, 2], valueDb: [0, 0], uncertaintyDb: [1] }, '1 uncertainties for 2 frequencies'],
  [{ frequencyHz: [1, 2], valueDb: [0, 0], uncertaintyDb: [1, -1] }, 'an uncertainty of -1 dB in row 2'],
  [{ frequencyHz: [1, 2], valueDb: [0, 0], uncertaintyDb: [0, 1] }, null],
])('tableProblem(%j) is %s', (table, problem) => {
  expect(tableProblem(table)).toBe(problem);
});

describe('levelMeaning', () => {
  const dBm = parseLevelUnit('dBm')!;
  const of = { pointKind: 'receiver-port', unit: dBm, isFactored: false, transferVersion: null } as const;

  test.each([
    [{}, 'absolute'],
    [{ pointKind: null }, 'absolute'],
    [{ pointKind: 'near-field-probe' }, 'relative'],
    [{ pointKind: 'near-field-probe', isFactored: true }, 'relative'],
    [{ pointKind: 'near-field-probe', transferVersion: 2 }, 'absolute'],
    [{ pointKind: 'current-probe' }, 'relative'],
    [{ pointKind: 'current-probe', isFactored: true }, 'absolute'],
    [{ pointKind: 'antenna' }, 'relative'],
    [{ pointKind: 'other' }, 'relative'],
    [{ unit: parseLevelUnit('dBFS')! }, 'relative'],
    [{ unit: parseLevelUnit('dB')!, transferVersion: 1 }, 'relative'],
    [{ unit: { name: 'unknown', scale: 'decibel', perHz: false } }, 'relative'],
  ] as const)('of %j is %s', (change, meaning) => {
    expect(levelMeaning({ ...of, ...change }).meaning).toBe(meaning);
  });
});
