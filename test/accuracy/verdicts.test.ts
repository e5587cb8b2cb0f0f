import { expect, test } from 'vitest';
import { runVerdicts } from './run-verdicts.ts';

test('builds of known truth: no false holds, nothing failed that is quiet, and every “not shown” for the right reason', () => {
  const score = runVerdicts(6, 100);
  expect(score.faults.slice(0, 5).join('\n')).toBe('');
  expect([score.falseHolds, score.falseShort]).toEqual([0, 0]);
});

test('within the doubt of the set-up at most one in twenty builds that exceed is said to hold, or the other way round', () => {
  const { near } = runVerdicts(40, 500, ['near']);
  // binomial 95 % bound on 5 % of some 20 cases: 3
  expect(near.saidHolds).toBeLessThanOrEqual(3);
  expect(near.saidShort).toBeLessThanOrEqual(3);
  expect(near.over + near.under).toBe(40);
});
