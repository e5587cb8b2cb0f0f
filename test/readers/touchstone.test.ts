import { describe, expect, test } from 'vitest';
import { readCapture } from '../../src-main/readers/read-capture.ts';
import { ascii } from './build.ts';

const read = (text: string, file = 'pad.s2p') => readCapture(ascii(text), file);
const db = (magnitude: number) => 20 * Math.log10(magnitude);

/** Examples of the Touchstone File Format Specification, Version 2.0 (IBIS Open Forum, 24 April 2009), by their numbers there. */
const EXAMPLE_8 =
  '!Example 8 (Version 1.0):\n!1-port S-parameter file, single frequency point\n# MHz S MA R 50\n!freq magS11 angS11\n2.000 0.894 -12.136';
const EXAMPLE_13 = `!Example 13 (Version 1.0):
# GHz S RI R 50.0
!freq ReS11 ImS11 ReS21 ImS21 ReS12 ImS12 ReS22 ImS22
1.0000 0.3926 -0.1211 -0.0003 -0.0021 -0.0003 -0.0021 0.3926 -0.1211
2.0000 0.3517 -0.3054 -0.0096 -0.0298 -0.0096 -0.0298 0.3517 -0.3054
10.000 0.3419 0.3336 -0.0134 0.0379 -0.0134 0.0379 0.3419 0.3336`;
const EXAMPLE_17 = `[Version] 2.0
#
[Number of Ports] 2
[Two-Port Data Order] 21_12
[Number of Frequencies] 2
[Number of Noise Frequencies] 2
[Reference] 50 25.0
[Network Data]
2 .95 -26 3.57 157 .04 76 .66 -14
22 .60 -144 1.30 40 .14 40 .56 -85
[Noise Data]
4 .7 .64 69 19
18 2.7 .46 -33 20
[End]`;
const EXAMPLE_18 = `!Default MA format, GHz frequencies, 50 ohm reference, S-parameters
#
! NETWORK PARAMETERS
2 .95 -26 3.57 157 .04 76 .66 -14
22 .60 -144 1.30 40 .14 40 .56 -85
! NOISE PARAMETERS
4 .7 .64 69 .38
18 2.7 .46 -33 .40`;

describe('readCapture(network parameters)', () => {
  test('the specification’s one-port example', () => {
    const { tables, traces } = read(EXAMPLE_8, 'load.s1p');
    expect(traces).toEqual([]);
    expect(tables).toHaveLength(1);
    expect(tables![0]).toMatchObject({ name: 'S11', kind: 'reflection', referenceOhm: 50 });
    expect([...tables![0]!.frequencyHz]).toEqual([2e6]);
    expect(tables![0]!.valueDb[0]).toBeCloseTo(db(0.894), 12);
  });

  test('the specification’s two-port example in real and imaginary parts', () => {
    const { tables } = read(EXAMPLE_13);
    const s21 = tables!.find(({ name }) => name === 'S21')!;
    expect([...s21.frequencyHz]).toEqual([1e9, 2e9, 10e9]);
    expect(s21.valueDb[1]).toBeCloseTo(10 * Math.log10(0.0096 ** 2 + 0.0298 ** 2), 12);
    expect(tables!.find(({ name }) => name === 'S11')!.valueDb[0]).toBeCloseTo(
      10 * Math.log10(0.3926 ** 2 + 0.1211 ** 2),
      12,
    );
  });

  test.each([
    ['1.0', EXAMPLE_18],
    ['2.0', EXAMPLE_17],
  ])('the specification’s example with noise data, version %s: noise is passed over', (_, text) => {
    const { tables, warnings } = read(text);
    const gain = (name: string) => [...tables!.find((table) => table.name === name)!.valueDb];
    expect(gain('S21')).toEqual([db(3.57), db(1.3)]);
    expect(gain('S12')).toEqual([db(0.04), db(0.14)]);
    expect(gain('S22')).toEqual([db(0.66), db(0.56)]);
    expect(warnings.join()).toMatch(/2 line\(s\) of noise data were passed over/);
  });

  test('the order of the two gains is the file’s own in version 2', () => {
    expect([...read(EXAMPLE_17.replace('21_12', '12_21')).tables!.find(({ name }) => name === 'S12')!.valueDb]).toEqual(
      [db(3.57), db(1.3)],
    );
  });

  test('half a matrix is that of a reciprocal network', () => {
    const text =
      '[Version] 2.0\n# MHz S DB R 50\n[Number of Ports] 2\n[Matrix Format] Lower\n[Network Data]\n1 -20 0 -3 0\n-21 0\n[End]';
    expect(read(text).tables!.map(({ name, valueDb }) => [name, valueDb[0]])).toEqual([
      ['S11', -20],
      ['S21', -3],
      ['S22', -21],
    ]);
  });

  test.each([
    ['Hz', 1],
    ['kHz', 1e3],
    ['MHz', 1e6],
    ['ghz', 1e9],
  ])('frequencies in %s', (unit, factor) => {
    expect(read(`# ${unit} S DB R 50\n1 0 0 -1 0 -1 0 0 0\n`).tables![0]!.frequencyHz[0]).toBe(factor);
  });

  test('is recognised by its option line under any name, and by its name with the shortest of them', () => {
    expect(read(EXAMPLE_13, 'cable.txt').tables).toHaveLength(4);
    expect(read(EXAMPLE_13, 'cable.txt').warnings.join()).toMatch(/content was believed/);
    expect(read(EXAMPLE_18, 'cable.s2p').tables).toHaveLength(4);
  });

  test('a text whose first line is a remark behind # is no network file', () => {
    expect(readCapture(ascii('# freq level\n1000 -80\n2000 -81\n3000 -80\n'), 'a.txt').traces).toHaveLength(1);
  });

  test.each([
    ['Z parameters', '# MHz Z MA R 75\n100 0.99 -4\n', 'a.s1p', /Z parameters/],
    ['four ports', '# MHz S MA R 50\n1 1 0\n', 'a.s4p', /4 ports/],
    ['a word among numbers', '# MHz S MA R 50\n1 0.5 x\n', 'a.s1p', /“x”/],
    ['frequencies that fall', '# MHz S MA R 50\n2 0.5 0\n1 0.5 0\n', 'a.s1p', /1 after 2/],
    ['a record too short in the middle', '# MHz S MA R 50\n1 0.5 0 1\n2 0.5 0\n', 'a.s1p', /3 numbers/],
    ['no data', '# MHz S MA R 50\n', 'a.s1p', /no network data/],
    ['no option line', '1 0.5 0\n', 'a.s1p', /option line/],
  ])('%s are refused', (_, text, file, found) => {
    expect(() => read(text, file)).toThrow(found);
  });

  test('a file cut off in its last record is read without it, and that is said', () => {
    const { tables, warnings } = read(EXAMPLE_13.slice(0, -20));
    expect(tables![0]!.frequencyHz).toHaveLength(2);
    expect(warnings.join()).toMatch(/cut off/);
  });
});
