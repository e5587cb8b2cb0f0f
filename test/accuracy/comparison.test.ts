import { describe, expect, it } from 'vitest';
import { DEFAULT_COMPARE_SETTINGS } from '../../src-main/model/compare-settings.ts';
import { FIX_TRIED } from './cases/before-after-case.ts';
import { runComparisons } from './run-compare.ts';

describe('compareSides over pairs of captures with known truth', () => {
  it('says what became of each line of seven builds; nothing that still runs is cleared, nothing that was there is new', () => {
    const score = runComparisons(FIX_TRIED, 7, 1);
    const wrong = score.faults.map(({ seed, line, expected, said }) => `${seed} ${line}: ${expected}; said ${said}`);
    expect(score.judged).toBeGreaterThan(1000);
    expect(score.falseCleared, wrong.join('\n')).toBe(0);
    expect(score.falseNew, wrong.join('\n')).toBe(0);
    // a little under the 0.98 of the full campaign, for the sampling error
    expect(score.right / score.judged, wrong.join('\n')).toBeGreaterThan(0.97);
  });

  it('calls a line changed at the stated rate where the set-up scatters as stated and nothing was done', () => {
    const score = runComparisons({ deeds: false, repeats: 1, levelScatterDb: 1, wanderPpm: 100 }, 6, 100);
    const stated = DEFAULT_COMPARE_SETTINGS.changeRate;
    expect(score.unchanged).toBeGreaterThan(1000);
    expect(score.unchangedCalledChanged / score.unchanged).toBeLessThan(
      stated + 4 * Math.sqrt(stated / score.unchanged),
    );
    // the stated sigma is the scatter there is, neither wider nor narrower
    const pull = Math.sqrt(score.squaredPull / score.unchanged);
    expect(pull).toBeGreaterThan(0.9);
    expect(pull).toBeLessThan(1.1);
    expect(score.falseCleared).toBe(0);
    // a line that runs into a stronger one on one side only can still come out as new: one of some thousands does
    expect(score.falseNew).toBeLessThanOrEqual(1);
  });
});
