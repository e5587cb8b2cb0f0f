import type { Candidate } from '../model/attribution.ts';
import type { DriftEstimate, ReferenceUse, WeighedExplanation, WeighedTriage } from '../model/evidence.ts';
import type { EvidenceSettings } from '../model/evidence-settings.ts';
import type { Source } from '../model/source.ts';
import type { TriagedTrace } from '../model/triaged-trace.ts';
import { chooseReferences } from './evidence/choose-references.ts';
import { bandEvidence, coDriftEvidence, loadShiftEvidence } from './evidence/clauses.ts';
import { coDriftOf } from './evidence/co-drift.ts';
import { combOfCandidate, combViews } from './evidence/comb-view.ts';
import { combsLeft } from './evidence/combs-left.ts';
import { conclude } from './evidence/conclude.ts';
import { driftEstimates } from './evidence/drift.ts';
import { explainAfterSwitching } from './evidence/explain-after-switching.ts';
import { bandHints } from './evidence/known-bands.ts';
import { ownersBySwitching } from './evidence/owners-by-switching.ts';
import type { WeighedLine } from './evidence/sight.ts';
import { switchedWords } from './evidence/switched-words.ts';
import { terminationPlace } from './evidence/termination-place.ts';
import {
  followCombs,
  loadShiftsOf,
  movedCapture,
  ownerWords,
  statementsInDoubt,
  type Reference,
} from './follow-combs.ts';
import { lookInto } from './reference-look.ts';
import { judgeAttenuator } from './weigh-attenuator.ts';
import { roleFindings } from './weigh-references.ts';
import { weighSwitching } from './weigh-switching.ts';

export interface WeighInput {
  /** The capture that is weighed, with its own triage. */
  readonly subject: TriagedTrace;
  /** All other captures that may say something of it; those that cannot are named with the reason. */
  readonly others: readonly TriagedTrace[];
  readonly sources: readonly Source[];
  readonly settings: EvidenceSettings;
  readonly onProgress?: (fraction: number, step: string) => void;
}

/**
 * Weighs what other captures say of the lines of one: references by role, switching with the feed tree, movement with load and temperature.
 *
 * A second step over finished triages, pure like the first: a capture's own triage stays a function of that capture alone.
 *
 * 1. Each other capture is chosen for what its role and condition allow, or named with the reason why not.
 * 2. Combs are followed into captures of the item; switching narrows who can own them (ownersBySwitching).
 * 3. Each line is looked up in every reference, levels compared with their uncertainty, limits where it is not seen.
 * 4. Each line gets its cause and one sentence (conclude); combs lose the lines that turned out to be no teeth of theirs.
 */
export function weighEvidence(input: WeighInput): WeighedTriage {
  const { subject, sources, settings } = input;
  const progress = input.onProgress ?? (() => {});
  const { triage } = subject;
  const choices = chooseReferences(subject, input.others, sources, settings.driftRangeC);
  progress(0, 'comparing with references');
  const references = input.others.flatMap((triaged, i): Reference[] => {
    const choice = choices[i]!;
    if (choice.as === 'none') return [];
    return [{ ...lookInto(subject, triaged, settings.limitConfidence), triaged, choice }];
  });
  const unit = unitName(subject);
  const lines = triage.spurs.map((spur): WeighedLine => ({
    frequencyHz: spur.frequencyHz,
    frequencySigmaHz: spur.frequencySigmaHz,
    levelDb: spur.levelDb,
    levelSigmaDb: spur.levelSigmaDb,
    humpWidthHz: spur.shape === 'hump' ? spur.widthHz : null,
  }));

  progress(0.3, 'following combs');
  const views = combViews(triage.combs, triage.explanations, triage.spurs);
  const switching = followCombs(references, views, lines, sources, settings);
  const after = ownersBySwitching(
    views,
    switching.filter(({ choice }) => choice.switchedOff.length > 0),
  );
  const loadShifts = loadShiftsOf(switching, views);

  progress(0.6, 'weighing lines');
  const combOf = (candidate: Candidate) => combOfCandidate(candidate, triage.combs);
  const isOwned = (c: number) => triage.combs[c]!.source !== null;
  const rolesOf = roleFindings(subject, references, sources, unit, settings);
  const attenuators = references
    .filter(({ choice }) => choice.as === 'attenuator')
    .map((reference) => judgeAttenuator(reference, subject, lines, unit, settings));
  const explanations = triage.explanations.map((alone, i): WeighedExplanation => {
    const line = lines[i]!;
    const { evidence: byRole, terminatedAtAnalyser } = rolesOf(line, alone.candidates);
    const evidence = [...byRole];
    for (const judged of attenuators) evidence.push(judged(i));

    const lineSwitching = weighSwitching(i, line, alone.candidates, switching, views, combOf, unit, settings, evidence);
    if (alone.cause === 'unexplained') {
      const together = coDriftOf(
        line.frequencyHz,
        switching.map((capture) => movedCapture(capture, line, views)),
      );
      if (together !== null) {
        const along = together.combs.map((c) => views[c]!);
        const sourcesAlong = along.flatMap(({ comb }) => (comb.source === null ? [] : [comb.source]));
        evidence.push(coDriftEvidence(together.files, along.map(ownerWords), sourcesAlong));
      }
    }
    for (const shift of loadShifts) {
      if (alone.cause === 'source' && views[shift.comb]!.lines.get(alone.candidates[0]!.harmonic) === i)
        evidence.push(
          loadShiftEvidence(shift.file, ownerWords(views[shift.comb]!), shift.switchedOff, shift.ppm, shift.sigmaPpm),
        );
    }
    for (const hint of bandHints(line.frequencyHz, line.frequencySigmaHz)) evidence.push(bandEvidence(hint));

    const switched = explainAfterSwitching(alone, combOf, isOwned, after, lineSwitching);
    return conclude({
      alone,
      switched,
      switchedWhy: switchedWords(alone.cause, alone.candidates, switched, combOf, isOwned, after, lineSwitching),
      evidence,
      terminatedAtAnalyser,
    });
  });

  const { combs, notSeen } = combsLeft(triage.combs, views, explanations, after, triage.notSeen);
  progress(1, 'done');
  return {
    settings,
    explanations,
    combs,
    notSeen,
    references: input.others.map(({ file }, i): ReferenceUse => ({ file, as: choices[i]!.as, why: choices[i]!.why })),
    loadShifts: loadShifts.map(({ comb, ...shift }) => ({
      ...shift,
      fundamentalHz: triage.combs[comb]!.fundamentalHz,
    })),
    warnings: [
      ...references.flatMap((reference) => warningsOf(reference)),
      ...statementsInDoubt(switching, views, after),
    ],
  };
}

/** The drift of every source over the captures whose temperature is stated; see driftEstimates. */
export function estimateDrifts(
  captures: readonly TriagedTrace[],
  sources: readonly Source[],
  settings: EvidenceSettings,
): DriftEstimate[] {
  return driftEstimates(
    captures.flatMap(({ condition, file, trace, triage }) => {
      if (condition === null || condition.temperatureC === null || condition.role !== 'item') return [];
      const { state, mode, load, sourcesOn, sourcesOff, point } = condition;
      const group = JSON.stringify([state, mode, load ?? null, sourcesOn, sourcesOff, point]);
      const axis = 1e-6 * (trace.settings.frequencyAccuracyPpm ?? triage.settings.frequencyAccuracyPpm);
      return [{ file, temperatureC: condition.temperatureC, group, combs: triage.combs, axis }];
    }),
    sources,
    settings,
  );
}

function unitName({ trace: { unit } }: TriagedTrace): string {
  return unit.scale === 'decibel' || unit.name === 'unknown' ? unit.name : `dB${unit.name}`;
}

function warningsOf({ triaged, choice, comparable, warnings }: Reference): string[] {
  const words = triaged.condition === null ? null : terminationPlace(triaged.condition);
  return [
    ...(comparable ? [] : [`${triaged.file} serves for nothing: ${warnings.join('; ')}`]),
    ...(choice.as === 'terminated' && words?.from === 'words'
      ? [
          `${triaged.file}: that its load sat at ${words.place === 'probe' ? 'the probe’s end' : 'the analyser'} is read from the words of its condition; state it as terminated_at`,
        ]
      : []),
    ...(choice.as === 'terminated' && words?.place === null
      ? [`${triaged.file}: where its load sat is not stated (terminated_at), so analyser and cable are not told apart`]
      : []),
  ];
}
