import { expect, test } from 'vitest';
import { applyCondition } from '../../src-main/model/apply-condition.ts';
import { UNKNOWN_SETTINGS } from '../../src-main/model/capture.ts';
import type { Condition } from '../../src-main/model/condition.ts';
import { silentCondition } from '../../src-main/model/silent-condition.ts';

const silent: Condition = silentCondition('a.csv');

test('a silent condition, or none, leaves what the file said', () => {
  const stated = { ...UNKNOWN_SETTINGS, rbwHz: 3000, averages: 16 };
  expect(applyCondition(stated, null)).toBe(stated);
  expect(applyCondition(stated, silent)).toEqual(stated);
});

test('what a condition states goes over what the file said, and only that', () => {
  const stated = { ...UNKNOWN_SETTINGS, rbwHz: 3000, averages: 16, averaging: 'power' as const };
  expect(applyCondition(stated, { ...silent, averages: 8, averaging: 'log' })).toEqual({
    ...stated,
    averages: 8,
    averaging: 'log',
  });
});
