import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { fedFrom } from '../../../src-main/model/source-tree.ts';
import { InputError } from '../../../src-main/model/input-problem.ts';
import type { Source } from '../../../src-main/model/source.ts';
import { parseBandTable, writeBandTable } from '../../../src-main/readers/tables/band-table.ts';
import { parseConditionTable } from '../../../src-main/readers/tables/condition-table.ts';
import { parseSourceTable, writeSourceTable } from '../../../src-main/readers/tables/source-table.ts';

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
    ['a repeated designator', 'U1,converter,3e5,,\nU1,clock,1e6,,', /line 2.*designator/, /second time/],
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
  ])('%s refuses the whole table with its line', (_, rows, place, found) => {
    const problem = problemOf(() =>
      parseSourceTable(`designator,kind,nominal_hz,locked_to,fed_by\n${rows}\n`, 's.csv'),
    );
    expect(problem.file).toBe('s.csv');
    expect(problem.place).toMatch(place);
    expect(problem.found).toMatch(found);
    expect(problem.wayOut.length).toBeGreaterThan(5);
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

describe('fedFrom(designator, sources)', () => {
  test('takes along the children and theirs, and nothing else', () => {
    const table =
      'designator,kind,nominal_hz,fed_by\nBUS,converter,2e5,\nA,converter,3e5,BUS\nB,converter,4e5,A\nC,converter,5e5,\n';
    const sources = parseSourceTable(table, 's.csv');
    expect(fedFrom('BUS', sources).sort()).toEqual(['A', 'B']);
    expect(fedFrom('C', sources)).toEqual([]);
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

describe('parseConditionTable(text, file)', () => {
  test('tells said-to-be-none from not said', () => {
    const [row] = parseConditionTable('file,sources_on,sources_off\na.csv,A B,\n', 'c.csv');
    expect(row).toMatchObject({ role: 'item', sourcesOn: ['A', 'B'], sourcesOff: null, averages: null });
  });

  test.each([
    ['a file twice', 'a.csv,,,\na.csv,,,', /second time/],
    ['a source on and off', 'a.csv,A,A,', /sources_on lists too/],
    ['an unheard-of averaging', 'a.csv,,,sometimes', /sometimes/],
  ])('%s is refused', (_, rows, found) => {
    expect(
      problemOf(() => parseConditionTable(`file,sources_on,sources_off,averaging\n${rows}\n`, 'c.csv')).found,
    ).toMatch(found);
  });
});
