import { describe, expect, test } from 'vitest';
import { differenceSigmaDb, findLevel, remainderLimitDb } from '../../../src-main/engine/evidence/level-finding.ts';
import type { Sight, WeighedLine } from '../../../src-main/engine/evidence/sight.ts';
import { DEFAULT_EVIDENCE_SETTINGS } from '../../../src-main/model/evidence-settings.ts';
import { seededNormal, seededRandom } from '../tracking/seeded-random.ts';

export const LINE: WeighedLine = {
  frequencyHz: 5e6,
  frequencySigmaHz: 50,
  levelDb: -90,
  levelSigmaDb: 0.3,
  humpWidthHz: null,
};
const seen = (levelDb: number, more: Partial<Extract<Sight, { is: 'seen' }>> = {}): Sight => ({
  is: 'seen',
  spur: 0,
  frequencyHz: 5e6,
  levelDb,
  levelSigmaDb: 0.3,
  otherShape: false,
  ...more,
});
const unseen = (limitDb: number, detectableDb = limitDb): Sight => ({ is: 'unseen', limitDb, detectableDb });
const find = (sight: Sight, expectedDb = 0) => findLevel(LINE, sight, expectedDb, DEFAULT_EVIDENCE_SETTINGS);

describe('findLevel(line, sight, expectedDb, settings)', () => {
  // σ = √(0.3² + 0.3² + 2·1²) = 1.476 dB by hand; two of them are 2.95 dB
  test.each([
    ['a line at its own level', -90, 'same'],
    ['a line 2.9 dB weaker', -92.9, 'same'],
    ['half the power and a little less', -93.1, 'weaker'],
    ['a line 2.9 dB stronger', -87.1, 'same'],
    ['a line 3.1 dB stronger', -86.9, 'stronger'],
  ] as const)('%s is %s', (_, levelDb, outcome) => {
    expect(find(seen(levelDb)).outcome).toBe(outcome);
  });

  test.each([
    ['a limit 3.1 dB below is proof of absence', unseen(-93.1), 'absent'],
    ['a limit 2.9 dB below is none', unseen(-92.9), 'not-sensitive'],
    ['a low limit is none where a line there would not have been found', unseen(-110, -91), 'not-sensitive'],
    ['nor is a low threshold under a strong neighbour', unseen(-85, -110), 'not-sensitive'],
  ] as const)('%s', (_, sight, outcome) => {
    expect(find(sight).outcome).toBe(outcome);
  });

  test('a line expected elsewhere in level is judged there: a residual rises with a corrected attenuator', () => {
    expect(find(seen(-80), 10).outcome).toBe('same');
    expect(find(seen(-90), 10).outcome).toBe('weaker');
    expect(find(unseen(-86), 10).outcome).toBe('absent');
    expect(find(unseen(-82), 10).outcome).toBe('not-sensitive');
  });

  test('a line beside a hump, a place outside the span, and a unit that does not compare say nothing', () => {
    expect(find(seen(-90, { otherShape: true })).outcome).toBe('undecided');
    expect(find({ is: 'unusable', outcome: 'not-covered', why: 'x' }).outcome).toBe('not-covered');
    expect(find({ is: 'unusable', outcome: 'not-comparable', why: 'x' }).outcome).toBe('not-comparable');
  });

  test('of unchanged lines one in twenty is called changed: the stated 2σ, two-sided', () => {
    const normal = seededNormal(seededRandom(11));
    let changed = 0;
    for (let i = 0; i < 20_000; i++) {
      const here = { ...LINE, levelDb: -90 + Math.hypot(0.3, 1) * normal() };
      const there = seen(-90 + Math.hypot(0.3, 1) * normal());
      if (findLevel(here, there, 0, DEFAULT_EVIDENCE_SETTINGS).outcome !== 'same') changed++;
    }
    // 4.55 % of Gaussian differences lie beyond 2σ; ± 3σ of the count at 20 000
    expect(changed / 20_000).toBeGreaterThan(0.041);
    expect(changed / 20_000).toBeLessThan(0.05);
  });
});

describe('differenceSigmaDb(here, there, repeatability)', () => {
  // Check table of before/after comparisons: σ of the difference of two K = 64 noise powers is 0.771 dB, of one 0.545 dB.
  test('is √2 of one where both are alike, as for two averaged powers of 64 averages', () => {
    expect(differenceSigmaDb(0.545, 0.545, 0)).toBeCloseTo(0.771, 3);
  });
});

describe('remainderLimitDb(level, change, sigma)', () => {
  test('a line that lost half its power has the other half as remainder', () => {
    expect(remainderLimitDb(-90, -10 * Math.log10(2), 0)).toBeCloseTo(-93.0103, 3);
  });

  test('a line unchanged within σ could hold what 1.645 σ hides', () => {
    // 10^(0.1645) − 1 = 0.4605: −3.37 dB
    expect(remainderLimitDb(-90, 0, 1)).toBeCloseTo(-93.37, 2);
  });

  test('a stronger reference does not make the remainder smaller than its doubt', () => {
    expect(remainderLimitDb(-90, 3, 1)).toBeCloseTo(-90.37, 2);
  });
});
