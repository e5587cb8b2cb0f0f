import { expect, test } from 'vitest';
import { limitAt } from '../../../src-main/engine/verdict/limit-at.ts';
import { BUILT_IN_LIMITS } from '../../../src-main/engine/verdict/published/built-in-limits.ts';
import { InputError } from '../../../src-main/model/input-problem.ts';
import { readLimitTable, writeLimitTable } from '../../../src-main/readers/tables/limit-table.ts';

function problemOf(text: string) {
  try {
    readLimitTable(text, 'limits.csv');
  } catch (error) {
    if (error instanceof InputError) return error.problem;
    throw error;
  }
  throw new Error('nothing was refused');
}

test('points are joined straight over log frequency; the head of a line is read from its first row', () => {
  const { rows } = readLimitTable(
    'name,unit,frequency_hz,level,detector,bandwidth_hz\nmains,dBuV,150000,66,quasi-peak,9000\n,,500000,56,,\n,,30000000,56,,\n',
    'limits.csv',
  );
  expect(rows).toHaveLength(1);
  const [line] = rows;
  expect(line).toMatchObject({ name: 'mains', unit: 'dBµV', detector: 'quasi-peak', isConfirmed: true });
  expect(line!.bandwidths[0]).toMatchObject({ bandwidthHz: 9000, shape: '6 dB' });
  // 47 CFR 18.307(b) as a table of points: 60.243 at 300 kHz
  expect(limitAt(line!, 300e3)).toBeCloseTo(60.243, 3);
});

// Read: a public launch-vehicle guide's table of worst-case fields, dBµV/m; a step line, so nothing may be interpolated.
const STEPS = `name;unit;low_hz;high_hz;level
vehicle;dBµV/m;1e6;2,2e9;90
vehicle;;2,2e9;2,3e9;140
vehicle;;2,3e9;18e9;90
site;dBµV/m;1e6;100e6;120
site;;100e6;400e6;132
site;;400e6;1200e6;140
site;;1200e6;1400e6;148
site;;1400e6;11e9;146
site;;11e9;18e9;120
`;

test('stretches state steps and stay flat between them, with the lower level at each edge', () => {
  const [vehicle, site] = readLimitTable(STEPS, 'steps.csv').rows;
  for (const [hz, level] of [
    [1e6, 90],
    [2.19e9, 90],
    [2.2e9, 90],
    [2.25e9, 140],
    [2.3e9, 90],
    [10e9, 90],
  ] as const)
    expect(limitAt(vehicle!, hz), `${hz} Hz`).toBe(level);
  for (const [hz, level] of [
    [50e6, 120],
    [200e6, 132],
    [800e6, 140],
    [1300e6, 148],
    [5e9, 146],
    [15e9, 120],
    [19e9, null],
  ] as const)
    expect(limitAt(site!, hz), `${hz} Hz`).toBe(level);
});

test('equal frequencies of points are refused, with the way to state a step', () => {
  const problem = problemOf('name,unit,frequency_hz,level\na,dBm,1e6,-90\na,,2e6,-90\na,,2e6,-80\n');
  expect(problem.place).toBe('line 4, column frequency_hz');
  expect(problem.found).toBe('2000000 Hz twice');
  expect(problem.wayOut).toContain('low_hz and high_hz');
});

test.each([
  ['falling points', 'name,unit,frequency_hz,level\na,dBm,2e6,-90\na,,1e6,-90\n', 'after 2000000 Hz'],
  ['a single point', 'name,unit,frequency_hz,level\na,dBm,2e6,-90\n', 'one point'],
  ['a reversed stretch', 'name,unit,low_hz,high_hz,level\na,dBm,2e6,1e6,-90\n', '1000000 Hz for a stretch'],
  [
    'overlapping stretches',
    'name,unit,low_hz,high_hz,level\na,dBm,1e6,3e6,-90\na,,2e6,4e6,-80\n',
    'inside the stretch',
  ],
  [
    'points among stretches',
    'name,unit,frequency_hz,low_hz,high_hz,level\na,dBm,,1e6,3e6,-90\na,,4e6,,,-80\n',
    'points and stretches',
  ],
  ['a linear unit', 'name,unit,frequency_hz,level\na,V,1e6,1\na,,2e6,1\n', '“V”'],
  ['two units in one line', 'name,unit,frequency_hz,level\na,dBm,1e6,1\na,dBµV,2e6,1\n', '“dBµV”'],
  ['no level', 'name,unit,frequency_hz,level\na,dBm,1e6,\n', 'nothing'],
  ['no frequency', 'name,unit,frequency_hz,low_hz,level\na,dBm,,,1\n', 'no frequency'],
  ['frequency 0', 'name,unit,frequency_hz,level\na,dBm,0,1\na,,1,1\n', '“0”'],
  ['no name', 'name,unit,frequency_hz,level\n,dBm,1,1\n', 'nothing'],
  ['a detector nobody knows', 'name,unit,frequency_hz,level,detector\na,dBm,1,1,rms\na,,2,1,\n', '“rms”'],
])('%s are refused by line and column', (_, text, found) => {
  expect(problemOf(text).found).toContain(found);
});

test('a misspelt column is passed over with a warning that offers the likely name', () => {
  const { warnings } = readLimitTable('name,unit,freqency_hz,frequency_hz,level\na,dBm,,1,1\na,,,2,1\n', 'limits.csv');
  expect(warnings.join()).toContain('Did you mean frequency_hz?');
});

test('every built-in line written as a table reads back to the same stretches', () => {
  const flat = BUILT_IN_LIMITS.filter(({ stretches }) =>
    stretches.every(({ lowHz }, i) => i === 0 || lowHz >= stretches[i - 1]!.highHz),
  );
  expect(flat.length).toBeGreaterThan(20);
  const { rows } = readLimitTable(writeLimitTable(flat), 'written.csv');
  expect(rows.map(({ stretches }) => stretches)).toEqual(flat.map(({ stretches }) => stretches));
  expect(rows.map(({ isConfirmed }) => isConfirmed)).toEqual(flat.map(({ isConfirmed }) => isConfirmed));
});

test('no text brings the reader down: refused with file and place, or read', () => {
  const table = STEPS;
  let state = 7;
  const random = () => (state = (state * 48271) % 2147483647) / 2147483647;
  for (let i = 0; i < 400; i++) {
    const at = Math.floor(random() * table.length);
    const broken =
      table.slice(0, at) +
      String.fromCharCode(32 + Math.floor(random() * 90)) +
      table.slice(at + 1 + Math.floor(random() * 3));
    try {
      readLimitTable(broken, 'broken.csv');
    } catch (error) {
      expect(error).toBeInstanceOf(InputError);
    }
  }
});
