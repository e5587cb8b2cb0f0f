import { expect, test } from 'vitest';
import { conditionFor, unusedConditions } from '../../src-main/cli/match-conditions.ts';
import { SILENT_CONDITION } from '../report/sample-triage.ts';

const rows = ['a.csv', 'lid-on/b.csv', './runs/c.csv', 'runs\\d.csv'].map((file) => ({ ...SILENT_CONDITION, file }));

test.each([
  ['a.csv', 'a.csv'],
  ['somewhere/else/a.csv', 'a.csv'],
  ['runs/lid-on/b.csv', 'lid-on/b.csv'],
  ['runs/c.csv', './runs/c.csv'],
  ['./runs/d.csv', 'runs\\d.csv'],
  ['b.csv', null],
  ['lid-off/b.csv', null],
  ['xa.csv', null],
])('the capture %s has the row of %s', (file, row) => {
  expect(conditionFor(rows, file)?.file ?? null).toBe(row);
});

test('the name as given goes before the same last name in another folder', () => {
  const two = ['b.csv', 'lid-on/b.csv'].map((file) => ({ ...SILENT_CONDITION, file }));
  expect(conditionFor(two, 'lid-on/b.csv')).toBe(two[1]);
});

test('rows that mean no capture are named', () => {
  expect(unusedConditions(rows, ['a.csv']).map(({ file }) => file)).toEqual([
    'lid-on/b.csv',
    './runs/c.csv',
    'runs\\d.csv',
  ]);
});
