import { analyseTrace } from '../../src-main/engine/analyse.ts';
import { DEFAULT_TRIAGE_SETTINGS, type TriageSettings } from '../../src-main/model/triage-settings.ts';
import type { Triage } from '../../src-main/model/triage.ts';
import type { AccuracyCase } from './cases/case.ts';
import { scoreNames, type NameScore } from './score/score-names.ts';
import { scoreSpurs, type SpurScore } from './score/score-spurs.ts';
import { addCounts, emptyTally, type Tally } from './score/tally.ts';

/** The engine's answer to one case, asked as any caller would. */
export function triageOf(subject: AccuracyCase, settings: TriageSettings = DEFAULT_TRIAGE_SETTINGS): Triage {
  return analyseTrace({
    trace: {
      label: '',
      frequencyHz: subject.frequencyHz,
      level: subject.levelDb,
      unit: { name: 'dBm', scale: 'decibel', perHz: false },
      settings: subject.settings,
    },
    sources: subject.sources,
    condition: null,
    settings,
  });
}

export interface CaseScore {
  readonly subject: AccuracyCase;
  readonly spurs: SpurScore;
  readonly names: NameScore;
}

export function scoreCase(subject: AccuracyCase): CaseScore {
  const triage = triageOf(subject);
  const match = scoreSpurs(subject, triage.spurs);
  const names = scoreNames(subject, triage.spurs, triage.explanations, triage.combs, match, triage.settings.matchSigma);
  return { subject, spurs: match.score, names };
}

export function addScore(tally: Tally, score: CaseScore): void {
  tally.cases++;
  addCounts(tally.spurs, score.spurs);
  addCounts(tally.names, score.names);
}

/** Scores one case after another and adds them up. */
export function runCampaign(
  makeCase: (seed: number) => AccuracyCase,
  cases: number,
  firstSeed: number,
  onCase: (score: CaseScore) => void = () => {},
): Tally {
  const tally = emptyTally();
  for (let i = 0; i < cases; i++) {
    const score = scoreCase(makeCase(firstSeed + i));
    addScore(tally, score);
    onCase(score);
  }
  return tally;
}
