import { describe, expect, test } from 'vitest';
import { fitRows } from '../../src-renderer/state/fit-rows.ts';

const doubt = (name: string, message: string) => ({ weight: 'doubt' as const, name, message });

describe('fitRows', () => {
  test('what is said alike of several captures stands once with their files, and what forbids comparing comes first', () => {
    const problems = [
      doubt('detector', 'a.csv: its detector is not stated.'),
      doubt('detector', 'a.csv: b.csv: its detector is not stated.'),
      doubt('RBW', 'RBW differs: 1000 Hz before, 300 Hz after; floors follow it'),
      { weight: 'refuses' as const, name: 'unit', message: 'b.csv: its unit is not stated.' },
    ];
    // a file may be called `a.csv: b.csv`
    expect(fitRows(problems, ['a.csv', 'b.csv', 'a.csv: b.csv'])).toEqual([
      { name: 'unit', refuses: true, said: [{ text: 'its unit is not stated.', files: ['b.csv'] }] },
      {
        name: 'detector',
        refuses: false,
        said: [{ text: 'its detector is not stated.', files: ['a.csv', 'a.csv: b.csv'] }],
      },
      {
        name: 'RBW',
        refuses: false,
        said: [{ text: 'RBW differs: 1000 Hz before, 300 Hz after; floors follow it', files: [] }],
      },
    ]);
  });

  test('no finding gives no row; different words of one matter stand apart under one name', () => {
    expect(fitRows([], ['a.csv'])).toEqual([]);
    const [row, ...others] = fitRows(
      [doubt('calibration', 'a.csv: due.'), doubt('calibration', 'a.csv: old.')],
      ['a.csv'],
    );
    expect(others).toEqual([]);
    expect(row!.said.map(({ text }) => text)).toEqual(['due.', 'old.']);
  });
});
