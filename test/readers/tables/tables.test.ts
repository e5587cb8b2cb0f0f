import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { InputError } from '../../../src-main/model/input-problem.ts';
import type { Source } from '../../../src-main/model/source.ts';
import type { Band } from '../../../src-main/model/band.ts';
import type { Condition } from '../../../src-main/model/condition.ts';
import { parseBandTable, readBandTable, writeBandTable } from '../../../src-main/readers/tables/band-table.ts';
import {
  parseConditionTable,
  readConditionTable,
  writeConditionTable,
} from '../../../src-main/readers/tables/condition-table.ts';
import { parseSourceTable, readSourceTable, writeSourceTable } from '../../../src-main/readers/tables/source-table.ts';

const problemOf = (act: () => unknown): InputError['problem'] => {
  try {
    act();
  } catch (error) {
    if (error instanceof InputError) return error.problem;
    throw error;
  }
  throw new Error('nothing was refused');
};

describe('parseSourceTable(text, file)', () => {
  test('reads columns in any order and leaves what is empty unknown', () => {
    const [source] = parseSourceTable('nominal_hz,kind,designator\n300e3,converter,U7\n', 's.csv');
    expect(source).toMatchObject({
      designator: 'U7',
      kind: 'converter',
      nominalHz: 300_000,
      tolerancePpm: null,
      lock: null,
      owner: 'ours',
    });
  });

  test('reads a spreadsheet with semicolons, decimal commas and a byte-order mark', () => {
    const [source] = parseSourceTable(
      '\ufeffdesignator;kind;nominal_hz;duty\r\nU7;converter;300000,5;0,25\r\n',
      's.csv',
    );
    expect(source).toMatchObject({ nominalHz: 300_000.5, duty: 0.25 });
  });

  test.each([
    ['a repeated designator', 'U1,converter,3e5,,\nU1,clock,1e6,,', /line 3.*designator/, /second time/],
    ['a lock to nobody', 'U1,converter,3e5,XO,', /line 2.*locked_to/, /“XO”/],
    [
      'a circle of locks',
      'U1,converter,3e5,U2,\nU2,converter,3e5,U3,\nU3,converter,3e5,U1,',
      /line 2/,
      /U1 locked to U2 locked to U3 locked to U1/,
    ],
    ['a circle of feeds', 'U1,converter,3e5,,U2\nU2,converter,3e5,,U1', /line 2.*fed_by/, /U1 fed by U2 fed by U1/],
    ['a kind of its own', 'U1,motor,3e5,,', /line 2.*kind/, /motor/],
    ['a frequency of zero', 'U1,clock,0,,', /line 2.*nominal_hz/, /“0”/],
    ['words for a number', 'U1,clock,fast,,', /line 2.*nominal_hz/, /fast/],
    ['no designator', ',clock,1e6,,', /line 2.*designator/, /nothing/],
    ['a designator with a blank', 'U 1,clock,1e6,,', /line 2.*designator/, /“U 1”/],
    ['a feed from nobody', 'U1,clock,1e6,,BUS', /line 2.*fed_by/, /“BUS”/],
    ['a source that feeds itself', 'U1,clock,1e6,,U1', /line 2.*fed_by/, /U1 fed by U1/],
    ['thousands in groups', 'U1,clock,"1,000,000",,', /line 2.*nominal_hz/, /1,000,000/],
    ['a frequency that is infinite', 'U1,clock,1e400,,', /line 2.*nominal_hz/, /1e400/],
    ['an entry after a cell of two lines', 'U1,clock,1e6,,"\n"\nU1,clock,1e6,,', /line 4.*designator/, /second time/],
    ['an error after a cell of two lines', '"U\n1",clock,1e6,,\nU2,clock,x,,', /line 4.*nominal_hz/, /“x”/],
  ])('%s refuses the whole table with its line', (_, rows, place, found) => {
    const problem = problemOf(() =>
      parseSourceTable(`designator,kind,nominal_hz,locked_to,fed_by\n${rows}\n`, 's.csv'),
    );
    expect(problem.file).toBe('s.csv');
    expect(problem.place).toMatch(place);
    expect(problem.found).toMatch(found);
    expect(problem.wayOut.length).toBeGreaterThan(5);
  });

  test.each([
    ['tolerance_ppm', '1000001', /at least 0 at most 1000000/],
    ['tolerance_ppm', '-1', /at least 0/],
    ['spread_ppm', '-5', /at least 0/],
    ['duty', '1.2', /at most 1/],
    ['rise_s', '2', /at most 1/],
    ['max_harmonic', '0', /at least 1/],
    ['max_harmonic', '2.5', /whole number/],
    ['lock_denominator', '0', /at least 1/],
    ['lock_denominator', '2', /locked to/],
    ['adjust_low_hz', '2e5', /both ends/],
    ['owner', 'theirs', /ours, host, support, facility/],
  ])('a %s of %s refuses the table and says what was expected', (column, cell, expected) => {
    const problem = problemOf(() =>
      readSourceTable(`designator,kind,nominal_hz,${column}\nU1,clock,1e6,${cell}\n`, 's'),
    );
    expect(problem.expected).toMatch(expected);
    expect(problem.place).toMatch(/line 2, column/);
  });

  test.each([
    ['3e5', '2e5', '', /low to high/],
    ['2e5', '3e5', '2e5', /fits into 100000 Hz/],
  ])('an adjustment from %s to %s in steps of "%s" is refused', (low, high, step, expected) => {
    const columns = 'designator,kind,nominal_hz,adjust_low_hz,adjust_high_hz,adjust_step_hz';
    expect(problemOf(() => readSourceTable(`${columns}\nU1,clock,1e6,${low},${high},${step}\n`, 's')).expected).toMatch(
      expected,
    );
  });

  test('an unknown column is passed over with a warning that offers the name that was probably meant', () => {
    const { rows, warnings } = readSourceTable(
      'designator,kind,nominal_hz,tolerence_ppm,duty_cycle,drift_ppm\nU1,clock,1e6,5,0.5,3\n',
      's',
    );
    expect(rows).toHaveLength(1);
    expect(rows[0]).toMatchObject({ tolerancePpm: null, duty: null });
    expect(warnings).toHaveLength(3);
    expect(warnings[0]).toMatch(/tolerence_ppm.*Did you mean tolerance_ppm\?/);
    expect(warnings[1]).not.toMatch(/Did you mean/);
    expect(warnings[2]).toMatch(/Did you mean drift_ppm_per_k\?/);
  });

  test('a nominal frequency that contradicts the lock is a warning, rounding of it is not', () => {
    const table = (hz: string): string =>
      `designator,kind,nominal_hz,locked_to,lock_numerator,lock_denominator\nXO,clock,10e6,,,\nU1,converter,${hz},XO,1,30\n`;
    expect(readSourceTable(table('333333'), 's').warnings).toEqual([]);
    const [warning] = readSourceTable(table('300000'), 's').warnings;
    expect(warning).toMatch(/U1.*300000 Hz.*XO × 1 \/ 30 gives 333333/);
  });

  test.each(['\n', '\r\n', '\r'])('takes the line end %j, empty lines and short rows as they come', (end) => {
    const table = ['designator,kind,nominal_hz,notes', 'U1,clock,1e6', '', ',,,', 'U2,other,2e6,x', ''].join(end);
    expect(readSourceTable(table, 's').rows.map((source) => source.designator)).toEqual(['U1', 'U2']);
  });

  test('a row with more cells than the header, and a quote left open, are refused with their line', () => {
    expect(problemOf(() => readSourceTable('designator,kind,nominal_hz\nU1,clock,1e6,7\n', 's')).place).toBe('line 2');
    const open = problemOf(() => readSourceTable('designator,kind,nominal_hz\nU1,clock,1e6\n"U2,clock,1e6\n', 's'));
    expect(open.place).toBe('line 3');
  });

  test('a missing or misspelt column is named', () => {
    expect(problemOf(() => parseSourceTable('designator,kind\nU1,clock\n', 's')).expected).toMatch(/nominal_hz/);
    expect(
      problemOf(() => parseSourceTable('designator,kind,nominal_hz,tolerance\nU1,clock,1e6,5\n', 's')).found,
    ).toMatch(/tolerance/);
    expect(problemOf(() => parseSourceTable('', 's')).found).toMatch(/no header/);
  });

  test('what is written reads back to the same values, names that look like formulas too', () => {
    const word = fc
      .string({ minLength: 1, maxLength: 12 })
      .map((s) => s.replace(/\s/g, ''))
      .filter((s) => s.trim() !== '' && s !== '\ufeff' && s.trim() === s);
    const entry = fc.record({
      designator: word,
      kind: fc.constantFrom('converter', 'clock', 'other'),
      nominalHz: fc.double({ min: 1, max: 1e10, noNaN: true }),
      tolerancePpm: fc.option(fc.double({ min: 0, max: 1e5, noNaN: true })),
      duty: fc.option(fc.double({ min: 0, max: 1, noNaN: true })),
      notes: fc.string().map((s) => s.trim()),
      serial: fc.constantFrom('', '=1+1', '@x', '-3', "'quoted", '+a'),
    });
    fc.assert(
      fc.property(fc.uniqueArray(entry, { selector: (e) => e.designator, maxLength: 6 }), (entries) => {
        const sources = entries.map((e) => ({
          driftPpmPerK: null,
          spreadPpm: null,
          lock: null,
          riseS: null,
          maxHarmonic: null,
          adjust: null,
          fedBy: null,
          owner: 'ours',
          ...e,
        })) as Source[];
        expect(parseSourceTable(writeSourceTable(sources), 's.csv')).toEqual(sources);
      }),
      { seed: 9, numRuns: 300 },
    );
  });
});

describe('readBandTable(text, file)', () => {
  test('any bands that do not overlap come back as they were written', () => {
    const optional = (min: number, max: number) => fc.option(fc.double({ min, max, noNaN: true }));
    const entry = fc.record({
      width: fc.double({ min: 1e3, max: 1e6, noNaN: true }),
      channelHz: optional(1, 1e3),
      channelOriginHz: optional(1, 1e9),
      allowedOverFloorDb: optional(-20, 20),
      allowedLevel: optional(-150, 0),
      weight: fc.double({ min: 0, max: 100, noNaN: true }),
      sampleRateHz: optional(1, 1e9),
      localOscillatorHz: optional(1, 1e9),
    });
    fc.assert(
      fc.property(fc.array(entry, { maxLength: 5 }), (entries) => {
        const bands = entries.map(({ width, ...rest }, i): Band => {
          const allowedUnit = rest.allowedLevel === null ? null : 'dBµV';
          return plusZero({
            name: `=band ${i}`,
            lowHz: (i + 1) * 1e7,
            highHz: (i + 1) * 1e7 + width,
            allowedUnit,
            ...rest,
          });
        });
        expect(readBandTable(writeBandTable(bands), 'b.csv').rows).toEqual(bands);
      }),
      { seed: 11, numRuns: 200 },
    );
  });
});

describe('parseBandTable(text, file)', () => {
  test('reads a band and writes it back to the same values', () => {
    const bands = parseBandTable(
      'name,low_hz,high_hz,channel_hz,allowed_level,allowed_unit\nII,9e6,13e6,20e3,-97.5,dBm\n',
      'b.csv',
    );
    expect(bands[0]).toMatchObject({ name: 'II', lowHz: 9e6, channelHz: 20e3, allowedLevel: -97.5, weight: 1 });
    expect(parseBandTable(writeBandTable(bands), 'b.csv')).toEqual(bands);
  });

  test.each([
    ['reversed', 'I,2e6,1e6,,,', /beginning/],
    ['overlapping', 'I,1e6,2e6,,,\nII,1.5e6,3e6,,,', /overlap/],
    ['with channels wider than itself', 'I,1e6,2e6,2e6,,', /width/],
    ['with a level without unit', 'I,1e6,2e6,,-90,', /unit/],
  ])('a band %s is refused', (_, rows, expected) => {
    const problem = problemOf(() =>
      parseBandTable(`name,low_hz,high_hz,channel_hz,allowed_level,allowed_unit\n${rows}\n`, 'b.csv'),
    );
    expect(problem.expected).toMatch(expected);
  });
});

/** JSON and CSV have no −0. */
function plusZero<T extends object>(value: T): T {
  return Object.fromEntries(Object.entries(value).map(([k, v]: [string, unknown]) => [k, v === 0 ? 0 : v])) as T;
}

describe('readConditionTable(text, file)', () => {
  test('any conditions come back as they were written', () => {
    const name = fc.constantFrom('A', 'U7', '-3V3', '=X', "'q");
    const word = fc.option(fc.constantFrom('lid on', '=SUM(A1)', '+5 V', '@point', 'a;b,c', 'two\nlines', '“quoted”'));
    const entry = fc.record({
      role: fc.constantFrom('item', 'off', 'terminated', 'attenuated'),
      point: word,
      state: word,
      mode: word,
      sourcesOn: fc.option(fc.uniqueArray(name, { minLength: 1 })),
      temperatureC: fc.option(fc.double({ min: -100, max: 100, noNaN: true })),
      attenuationDb: fc.option(fc.double({ min: -10, max: 60, noNaN: true })),
      unit: fc.constantFrom(null, 'dBm', 'dBµV', 'unknown'),
      rbwHz: fc.option(fc.double({ min: 1, max: 1e6, noNaN: true })),
      averages: fc.option(fc.integer({ min: 1, max: 1000 })),
      averaging: fc.constantFrom(null, 'none', 'power', 'log', 'voltage', 'max-hold', 'min-hold', 'unknown'),
      detector: fc.constantFrom(null, 'sample', 'rms', 'average', 'positive-peak', 'quasi-peak', 'unknown'),
      gainDb: fc.option(fc.double({ min: -60, max: 60, noNaN: true })),
    });
    const later = fc.record(
      {
        load: fc.constantFrom('dummy 50 Ω', '=1+1'),
        operator: fc.constantFrom('A. N.', '@on'),
        gainState: fc.constantFrom('high', '-G3'),
        instrument: fc.constant('analyser no. 3'),
        calibratedOn: fc.constantFrom('2026-01-31', '2024-02-29'),
      },
      { requiredKeys: [] },
    );
    fc.assert(
      fc.property(fc.array(fc.tuple(entry, later), { maxLength: 5 }), (entries) => {
        const conditions = entries.map(
          ([e, l], i) => plusZero({ file: `c${i}.csv`, sourcesOff: null, ...e, ...l }) as Condition,
        );
        expect(readConditionTable(writeConditionTable(conditions), 'c.csv').rows).toEqual(conditions);
      }),
      { seed: 12, numRuns: 200 },
    );
  });
});

describe('parseConditionTable(text, file)', () => {
  test('takes other spellings of averaging and detector', () => {
    const table = 'file,averaging,detector\na,Max Hold,Peak\nb,RMS,quasi_peak\nc,video,QP\n';
    expect(parseConditionTable(table, 'c.csv').map((row) => [row.averaging, row.detector])).toEqual([
      ['max-hold', 'positive-peak'],
      ['power', 'quasi-peak'],
      ['log', 'quasi-peak'],
    ]);
  });

  test('says where a load sat and what kind an attenuator was', () => {
    const table =
      'file,role,terminated_at,attenuator\na,terminated,Analyzer,\nb,terminated,probe end,\nc,attenuated,,pad\nd,,,\n';
    const rows = parseConditionTable(table, 'c.csv');
    expect(rows.map((row) => [row.terminatedAt ?? null, row.attenuator ?? null])).toEqual([
      ['analyser', null],
      ['probe', null],
      [null, 'external'],
      [null, null],
    ]);
    expect(parseConditionTable(writeConditionTable(rows), 'c.csv')).toEqual(rows);
  });

  test('tells said-to-be-none from not said', () => {
    const [row] = parseConditionTable('file,sources_on,sources_off\na.csv,A B,\n', 'c.csv');
    expect(row).toMatchObject({ role: 'item', sourcesOn: ['A', 'B'], sourcesOff: null, averages: null });
  });

  test.each([
    ['a file twice', 'a.csv,,,\na.csv,,,', /second time/],
    ['a source on and off', 'a.csv,A,A,', /sources_on lists too/],
    ['a day that no month has', 'a.csv,,,,2026-02-30', /2026-02-30/],
    ['a date of another kind', 'a.csv,,,,31.1.2026', /31\.1\.2026/],
    ['an unheard-of averaging', 'a.csv,,,sometimes', /sometimes/],
  ])('%s is refused', (_, rows, found) => {
    expect(
      problemOf(() => parseConditionTable(`file,sources_on,sources_off,averaging,calibrated_on\n${rows}\n`, 'c.csv'))
        .found,
    ).toMatch(found);
  });
});

test('what only some bands say has columns of its own, written only where a band says it', () => {
  const text =
    'name,low_hz,high_hz,zone,integration_s,channel_response,image_rejection_db\na,1e6,2e6,2,2000,hann,60\nb,3e6,4e6,,,,\n';
  const [a, b] = parseBandTable(text, 'bands.csv');
  expect(a).toMatchObject({ zone: 2, integrationS: 2000, channelResponse: 'hann', imageRejectionDb: 60 });
  expect(Object.keys(b!)).not.toContain('zone');
  expect(parseBandTable(writeBandTable([a!, b!]), 'bands.csv')).toEqual([a, b]);
  expect(writeBandTable([b!])).not.toContain('zone');
  expect(() => parseBandTable(text.replace(',hann,', ',kaiser,'), 'bands.csv')).toThrow(/sharp, rectangular/);
  expect(() => parseBandTable(text.replace(',2,2000', ',1.5,2000'), 'bands.csv')).toThrow(/whole number/);
});
