import { compareSides } from '../../src-main/engine/compare.ts';
import { DEFAULT_COMPARE_SETTINGS, type CompareSettings } from '../../src-main/model/compare-settings.ts';
import type { TriagedTrace } from '../../src-main/model/triaged-trace.ts';
import { beforeAfterCase, type BeforeAfterOptions } from './cases/before-after-case.ts';
import type { AccuracyCase } from './cases/case.ts';
import { triageOf } from './run-campaign.ts';
import { emptyComparisonScore, scoreComparison, type ComparisonScore } from './score/score-comparison.ts';
import { addCounts } from './score/tally.ts';

function triaged(subject: AccuracyCase, index: number): TriagedTrace {
  return {
    trace: {
      label: '',
      frequencyHz: subject.frequencyHz,
      level: subject.levelDb,
      unit: { name: 'dBm', scale: 'decibel', perHz: false },
      settings: subject.settings,
    },
    levelDb: subject.levelDb,
    triage: triageOf(subject),
    condition: null,
    file: `${subject.name} ${index + 1}.csv`,
  };
}

/** Compares one case after another and adds the scores up. */
export function runComparisons(
  options: BeforeAfterOptions,
  cases: number,
  firstSeed: number,
  settings: CompareSettings = DEFAULT_COMPARE_SETTINGS,
): ComparisonScore {
  const total = emptyComparisonScore();
  for (let i = 0; i < cases; i++) {
    const subject = beforeAfterCase(firstSeed + i, options);
    const comparison = compareSides({
      before: subject.before.map(triaged),
      after: subject.after.map(triaged),
      sources: subject.sources,
      settings,
    });
    const score = scoreComparison(subject, comparison);
    addCounts(total, score);
    total.faults.push(...score.faults);
    for (const [kind, { judged, right }] of Object.entries(score.byKind)) {
      const sum = (total.byKind[kind] ??= { judged: 0, right: 0 });
      sum.judged += judged;
      sum.right += right;
    }
  }
  return total;
}
