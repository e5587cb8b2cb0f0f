import { expect, test } from 'vitest';
import { planFrequencies } from '../../../src-main/engine/plan.ts';
import { tryPlan } from '../../../src-main/engine/try-plan.ts';
import { InputError } from '../../../src-main/model/input-problem.ts';
import { aBand, aSource, adjustable, settings } from './plan-lists.ts';

const band = aBand(1e6, 2e6, 10e3);
const locked = (to: string, numerator = 1, denominator = 1) => ({ lock: { to, numerator, denominator } });

test.each([
  ['no band', [aSource('A', 1e5)], [], /no band/],
  ['no source', [], [band], /no source/],
  ['a channel wider than its band', [aSource('A', 1e5)], [aBand(1e6, 2e6, 1.1e6)], /channel of 1100000 Hz/],
  ['a channel of nothing', [aSource('A', 1e5)], [aBand(1e6, 2e6, 0)], /channel of 0 Hz/],
  ['a band from high to low', [aSource('A', 1e5)], [aBand(2e6, 1e6, 1e3)], /range from low to high/],
  ['bands that overlap', [aSource('A', 1e5)], [band, aBand(1.5e6, 3e6, 1e3, { name: 'b' })], /overlap with band/],
  ['a negative weight', [aSource('A', 1e5)], [aBand(1e6, 2e6, 1e3, { weight: -1 })], /weight of -1/],
  ['too many channels', [aSource('A', 1e5)], [aBand(1e6, 2e9, 1)], /channels/],
  ['a range that excludes the step', [aSource('A', 1e5, adjustable(1e5, 1.01e5, 2e3))], [band], /step that fits/],
  ['a range from high to low', [aSource('A', 1e5, adjustable(2e5, 1e5, 1e3))], [band], /from low to high/],
  ['more steps than anyone means', [aSource('A', 1e5, adjustable(1e5, 2e5, 0.001))], [band], /steps/],
  ['a lock to itself', [aSource('A', 1e5, locked('A'))], [band], /circle/],
  ['locks in a circle', [aSource('A', 1e5, locked('B')), aSource('B', 1e5, locked('A'))], [band], /circle/],
  ['a lock to nobody', [aSource('A', 1e5, locked('X'))], [band], /locked to “X”/],
  [
    'a fixed source that contradicts its lock',
    [aSource('XO', 1e6), aSource('A', 3e5, locked('XO', 1, 4))],
    [band],
    /300000 Hz beside a lock to XO × 1 \/ 4, which gives 250000 Hz/,
  ],
  ['one designator twice', [aSource('A', 1e5), aSource('A', 2e5)], [band], /each designator once/],
] as const)('%s is refused with file, place, found, expected and a way out', (_, sources, bands, words) => {
  const names = { sources: 's.csv', bands: 'b.csv' };
  let thrown: unknown;
  try {
    planFrequencies({ sources, bands, settings: settings(), names });
  } catch (error) {
    thrown = error;
  }
  expect(thrown).toBeInstanceOf(InputError);
  expect((thrown as Error).message).toMatch(words);
  const { problem } = thrown as InputError;
  expect(['s.csv', 'b.csv']).toContain(problem.file);
  for (const part of [problem.place, problem.found, problem.expected, problem.wayOut]) expect(part).not.toBe('');
});

test.each([
  ['an unknown source', { source: 'X', lockedTo: null, nominalHz: 1e5 }, /found X/],
  ['a lock to an unknown source', { source: 'A', lockedTo: 'X', nominalHz: 1e5 }, /lock to X/],
  ['no frequency', { source: 'A', lockedTo: null, nominalHz: NaN }, /NaN Hz/],
  ['half a divider', { source: 'A', lockedTo: 'B', nominalHz: 1, lockDenominator: 1.5 }, /whole numbers/],
  ['a circle by hand', { source: 'A', lockedTo: 'A', nominalHz: 1 }, /circle/],
])('a setting made by hand with %s is refused', (_, setting, words) => {
  const sources = [aSource('A', 1e5), aSource('B', 2e5)];
  const chosen = [{ lockNumerator: 1, lockDenominator: 1, ...setting }];
  expect(() => tryPlan({ sources, bands: [band], settings: settings(), chosen })).toThrow(words);
});

test('a source outside its own range is no error: it is warned of, and may stay', () => {
  const sources = [aSource('A', 3e5, adjustable(1e5, 2e5, 1e4))];
  const { warnings, today } = planFrequencies({ sources, bands: [band], settings: settings() });
  expect(warnings.join(' ')).toContain('A runs at 300000 Hz today, outside its own range');
  expect(today.settings[0]!.nominalHz).toBe(3e5);
});
