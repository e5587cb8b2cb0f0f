import type { Candidate } from '../model/attribution.ts';
import type { Comb, SourceNotSeen } from '../model/comb.ts';
import type {
  DriftEstimate,
  Evidence,
  LoadShift,
  ReferenceUse,
  WeighedExplanation,
  WeighedTriage,
} from '../model/evidence.ts';
import type { EvidenceSettings } from '../model/evidence-settings.ts';
import type { Source } from '../model/source.ts';
import type { TriagedTrace } from '../model/triaged-trace.ts';
import { chooseReferences, type ReferenceChoice } from './evidence/choose-references.ts';
import {
  bandEvidence,
  coDriftEvidence,
  loadShiftEvidence,
  movedAlongEvidence,
  offEvidence,
  roleEvidence,
  switchEvidence,
  terminatedEvidence,
} from './evidence/clauses.ts';
import { coDriftOf, type MovedCapture } from './evidence/co-drift.ts';
import { combFates, type CombFate } from './evidence/comb-fate.ts';
import { combOfCandidate, combViews, type CombView } from './evidence/comb-view.ts';
import { conclude } from './evidence/conclude.ts';
import { driftEstimates } from './evidence/drift.ts';
import { explainAfterSwitching } from './evidence/explain-after-switching.ts';
import { bandHints } from './evidence/known-bands.ts';
import { findLevel, type LevelFinding } from './evidence/level-finding.ts';
import { ownersBySwitching, type OwnersAfter, type SwitchedCapture } from './evidence/owners-by-switching.ts';
import type { WeighedLine } from './evidence/sight.ts';
import { statusLookup } from './evidence/source-status.ts';
import { terminationPlace } from './evidence/termination-place.ts';
import { judgeAttenuator } from './weigh-attenuator.ts';
import { lookInto, type ReferenceLook } from './reference-look.ts';
import { largestMove } from './tracking/source-drift.ts';
import { DEFAULT_COMPARE_SETTINGS } from '../model/compare-settings.ts';
import { attenuationStep } from './evidence/attenuation-step.ts';

export interface WeighInput {
  /** The capture that is weighed, with its own triage. */
  readonly subject: TriagedTrace;
  /** All other captures that may say something of it; those that cannot are named with the reason. */
  readonly others: readonly TriagedTrace[];
  readonly sources: readonly Source[];
  readonly settings: EvidenceSettings;
  readonly onProgress?: (fraction: number, step: string) => void;
}

/** One other capture that serves, and the looks into it. */
interface Reference extends ReferenceLook {
  readonly triaged: TriagedTrace;
  readonly choice: ReferenceChoice;
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
  const { triage, condition } = subject;
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
  const attenuators = references
    .filter(({ choice }) => choice.as === 'attenuator')
    .map((reference) => judgeAttenuator(reference, subject, lines, unit, settings));
  const explanations = triage.explanations.map((alone, i): WeighedExplanation => {
    const line = lines[i]!;
    const evidence: Evidence[] = [];
    let terminatedAtAnalyser = true;
    if (condition?.role === 'terminated') {
      evidence.push(roleEvidence('terminated', subject.file, terminationPlace(condition).place));
    } else if (condition?.role === 'off' && mayAllBeOff(alone.candidates, statusLookup(condition, sources))) {
      evidence.push(roleEvidence('off', subject.file, null));
    }
    for (const reference of references) {
      const { triaged, choice, look } = reference;
      const { file } = triaged;
      if (choice.as === 'terminated') {
        const { place } = terminationPlace(triaged.condition!);
        // what the analyser makes stands behind its attenuator: shown higher by what the correction adds
        const expectedDb = residualShiftDb(reference, subject);
        const finding = findLevel(line, look(line, line.frequencyHz, 0), expectedDb, settings);
        const said = terminatedEvidence(line, finding, file, unit, place);
        if (said.supports.length > 0 && place !== 'analyser') terminatedAtAnalyser = false;
        evidence.push(said);
      } else if (choice.as === 'sources-off') {
        const status = statusLookup(triaged.condition, sources);
        const left = [...new Set(alone.candidates.flatMap(({ source }) => (source === null ? [] : [source])))].filter(
          (source) => status(source) !== 'off',
        );
        const finding = findLevel(line, look(line, line.frequencyHz, 0), 0, settings);
        if (condition?.role !== 'off') evidence.push(offEvidence(line, finding, file, unit, left.length === 0, left));
      }
    }
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

    const switched = explainAfterSwitching(alone, combOf, after, lineSwitching);
    return conclude({
      alone,
      switched,
      switchedWhy: switchedWords(alone.cause, alone.candidates, switched, combOf, after, lineSwitching),
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

/** True where no source that the line is given to is known to run or may run: a line of an `off` capture. */
function mayAllBeOff(candidates: readonly Candidate[], status: (designator: string) => string): boolean {
  return candidates.every(({ source }) => source === null || status(source) === 'off');
}

/** What the difference of attenuation does to a residual line of the analyser, whose levels are corrected unless a pad outside is not. */
function residualShiftDb({ here, there, triaged }: Reference, subject: TriagedTrace): number {
  const step = attenuationStep(
    { settings: here.taken, condition: subject.condition },
    { settings: there.taken, condition: triaged.condition },
  );
  return step === null || step.assumedZero || step.stated === false ? 0 : step.stepDb;
}

interface Followed extends SwitchedCapture {
  readonly reference: Reference;
  readonly choice: ReferenceChoice;
  readonly findings: readonly LevelFinding[];
  readonly kind: 'switch-off' | 'co-drift';
}

/** Every capture of the item, and of it with all off: what became of the combs and of each line at its own place. */
function followCombs(
  references: readonly Reference[],
  views: readonly CombView[],
  lines: readonly WeighedLine[],
  sources: readonly Source[],
  settings: EvidenceSettings,
): Followed[] {
  const moveSettings = { ...DEFAULT_COMPARE_SETTINGS, freeRunningDriftPpm: settings.freeRunningDriftPpm };
  const largest = views.map(({ owners }) =>
    Math.max(...(owners.length === 0 ? [null] : owners).map((name) => largestMove(name, sources, moveSettings))),
  );
  return references.flatMap((reference): Followed[] => {
    const { choice, triaged, look, offsetDb, comparable } = reference;
    const usable = choice.as === 'switch-off' || choice.as === 'drift' || choice.as === 'sources-off';
    if (!usable || !comparable) return [];
    const { triage } = triaged;
    const there = combViews(triage.combs, triage.explanations, triage.spurs);
    const findings = lines.map((line) => findLevel(line, look(line, line.frequencyHz, 0), 0, settings));
    const fates = combFates({
      here: views,
      there,
      levelHereDb: (i) => lines[i]!.levelDb,
      levelThereDb: (j) => triage.spurs[j]!.levelDb + offsetDb,
      findings,
      largestMove: largest,
      axis: reference.axis,
      settings,
    });
    return [
      {
        reference,
        choice,
        findings,
        fates,
        file: triaged.file,
        switchedOff: choice.switchedOff,
        statusThere: statusLookup(triaged.condition, sources),
        kind: choice.as === 'drift' ? 'co-drift' : 'switch-off',
      },
    ];
  });
}

/** What switching and movement say of one line; adds the evidence and returns which combs it cannot belong to. */
function weighSwitching(
  i: number,
  line: WeighedLine,
  candidates: readonly Candidate[],
  captures: readonly Followed[],
  views: readonly CombView[],
  combOf: (candidate: Candidate) => number,
  unit: string,
  settings: EvidenceSettings,
  evidence: Evidence[],
): { notOf: Set<number>; wholeOf: number } {
  const notOf = new Set<number>();
  let wholeOf = -1;
  const byComb = new Map<number, Candidate>();
  for (const candidate of candidates) {
    const c = combOf(candidate);
    if (c >= 0 && !byComb.has(c)) byComb.set(c, candidate);
  }
  const names = [...new Set(candidates.flatMap(({ source }) => (source === null ? [] : [source])))];
  // switching another load changes levels a little beside what the set-up does
  const loaded = { ...settings, repeatabilityDb: Math.hypot(settings.repeatabilityDb, settings.loadLevelDb / 2) };
  for (const capture of captures) {
    const own = capture.findings[i]!;
    const { file, fates, switchedOff, statusThere, reference, choice } = capture;
    const stays = own.outcome === 'same' || own.outcome === 'stronger';
    const places = [...byComb].map(([c, candidate]) => ({ c, candidate, fate: fates[c]! }));
    const along = movedAlong(places, line, capture, views, loaded);
    if (along !== null) evidence.push(along);
    else if (choice.as === 'switch-off') evidence.push(switchEvidence(own, file, unit, switchedOff, names));
    for (const { c, fate } of places) {
      const owners = views[c]!.owners;
      const allOff = owners.length > 0 && owners.every((owner) => statusThere(owner) === 'off');
      if (stays && (fate.is === 'gone' || (allOff && fate.is === 'undecided'))) notOf.add(c);
    }
    if (places.length < 2) continue;
    // Several combs share the line: which of them still shows it where it has gone?
    const seen = places.map(({ candidate, fate }) => {
      if (fate.is === 'gone') return 'gone' as const;
      if (fate.is === 'undecided') return 'unknown' as const;
      const place = candidate.predictedHz * fate.ratio!;
      return findLevel(line, look(reference, line, place, candidate, fate), fate.changeDb ?? 0, loaded).outcome;
    });
    const at = places.map(({ candidate, fate }) => candidate.predictedHz * (fate.ratio ?? 1));
    const resolutionHz = Math.max(reference.here.rbwHz, reference.there.rbwHz, reference.there.spacingHz);
    const together = at.some((x, k) =>
      at.some((y, l) => l > k && seen[k] !== 'gone' && seen[l] !== 'gone' && Math.abs(x - y) < 2 * resolutionHz),
    );
    if (together || seen.includes('unknown')) continue;
    const whole = seen.flatMap((one, k) => (one === 'same' || one === 'stronger' ? [k] : []));
    const none = seen.flatMap((one, k) => (one === 'absent' ? [k] : []));
    if (whole.length === 1 && whole.length + none.length + seen.filter((one) => one === 'gone').length === seen.length)
      wholeOf = places[whole[0]!]!.c;
    else if (whole.length === 0 && none.length === seen.length - 1) {
      const gone = seen.indexOf('gone');
      if (gone >= 0) wholeOf = places[gone]!.c;
    }
  }
  return { notOf, wholeOf };
}

/** A line moved along if it stands within this of its level: loads change levels. A choice of this tool. */
const LIKE_LEVEL_DB = 6;

/** A capture as a line without a comb sees it: where each comb's ratio would put it, and whether a line stands there. */
function movedCapture(
  { reference, fates, file }: Followed,
  line: WeighedLine,
  views: readonly CombView[],
): MovedCapture {
  const { there, here } = reference;
  const toleranceHz = (ratioSigma: number) => 3 * line.frequencyHz * ratioSigma;
  const widestHz = Math.max(0, ...fates.map(({ ratioSigma }) => toleranceHz(ratioSigma)));
  const spanHz = there.frequencyHz.at(-1)! - there.frequencyHz[0]!;
  const reachHz = widestHz + 3 * Math.SQRT2 * line.frequencySigmaHz + 0.1 * Math.max(here.rbwHz, there.rbwHz);
  return {
    file,
    ratios: views.map((_, c) => {
      const { is, ratio } = fates[c]!;
      const isApart =
        ratio !== null && Math.abs(line.frequencyHz * (ratio - 1)) > 2 * Math.max(here.rbwHz, there.rbwHz);
      return is === 'continues' && isApart ? ratio : null;
    }),
    standsAt: (frequencyHz) => {
      const sight = reference.look(line, frequencyHz, widestHz);
      return sight.is === 'seen' && Math.abs(sight.levelDb - line.levelDb) <= LIKE_LEVEL_DB;
    },
    accident: 1 - Math.exp((-2 * reachHz * there.triaged.triage.spurs.length) / spanHz),
  };
}

/** The evidence of a line with one comb that was found where its comb has moved to; null where it was not, or the comb hardly moved. */
function movedAlong(
  places: readonly { readonly c: number; readonly candidate: Candidate; readonly fate: CombFate }[],
  line: WeighedLine,
  { reference, file, kind }: Followed,
  views: readonly CombView[],
  settings: EvidenceSettings,
): Evidence | null {
  const [only, second] = places;
  if (only === undefined || second !== undefined) return null;
  const { c, candidate, fate } = only;
  if (fate.is !== 'continues' || !isApart(fate, candidate, reference)) return null;
  const sight = look(reference, line, candidate.predictedHz * fate.ratio!, candidate, fate);
  const moved = findLevel(line, sight, fate.changeDb ?? 0, settings);
  if (moved.outcome !== 'same' && moved.outcome !== 'stronger' && moved.outcome !== 'weaker') return null;
  return movedAlongEvidence(kind, moved, file, ownerWords(views[c]!), 1e6 * (fate.ratio! - 1), views[c]!.comb.source);
}

function look(reference: Reference, line: WeighedLine, atHz: number, candidate: Candidate, fate: CombFate) {
  const doubtHz = 3 * Math.hypot(candidate.predictedSigmaHz, candidate.predictedHz * fate.ratioSigma);
  return reference.look(line, atHz, doubtHz);
}

/** Did the comb move far enough for its tooth to be told from its old place? */
function isApart(fate: CombFate, { predictedHz }: Candidate, { here, there }: Reference): boolean {
  return Math.abs(predictedHz * (fate.ratio! - 1)) > Math.max(here.rbwHz, there.rbwHz, there.spacingHz);
}

function ownerWords({ comb, owners }: CombView): string {
  return (
    comb.source ?? (owners.length > 0 ? owners.join(' or ') : `the unknown comb at ${comb.fundamentalHz.toFixed(0)} Hz`)
  );
}

/** Combs that ran on and moved by more than their fits and axes can account for when something was switched off. */
function loadShiftsOf(captures: readonly Followed[], views: readonly CombView[]): (LoadShift & { comb: number })[] {
  return captures.flatMap(({ fates, switchedOff, file, choice }) =>
    choice.as !== 'switch-off'
      ? []
      : fates.flatMap((fate, comb) => {
          if (fate.is !== 'continues' || fate.there < 0) return [];
          const { comb: own } = views[comb]!;
          const [ppm, sigmaPpm] = [1e6 * (fate.ratio! - 1), 1e6 * fate.ratioSigma];
          if (Math.abs(ppm) <= 3 * sigmaPpm) return [];
          return [{ comb, source: own.source, fundamentalHz: own.fundamentalHz, file, switchedOff, ppm, sigmaPpm }];
        }),
  );
}

/** What switching changed of an explanation, in words; null where nothing. */
function switchedWords(
  causeAlone: string,
  candidatesAlone: readonly Candidate[],
  switched: { readonly cause: string; readonly candidates: readonly Candidate[] },
  combOf: (candidate: Candidate) => number,
  after: readonly OwnersAfter[],
  { notOf, wholeOf }: { readonly notOf: ReadonlySet<number>; readonly wholeOf: number },
): string | null {
  const best = candidatesAlone[0];
  const now = switched.candidates[0];
  if (best === undefined) return null;
  const c = combOf(best);
  const whose = (candidate: Candidate) =>
    `harmonic ${candidate.harmonic} of ${candidate.source ?? 'a comb that no register entry accounts for'}`;
  if (causeAlone === 'shared' && wholeOf >= 0 && switched.cause !== 'shared' && now !== undefined)
    return `is ${whose(now)}: of the combs that fall together here it alone still shows the whole line where it has moved or run on`;
  if (c >= 0 && notOf.has(c)) return `would be ${whose(best)} by frequency, but stands unchanged without that comb`;
  if (c >= 0 && after[c]!.isRefuted) {
    const files = [
      ...new Set(after[c]!.excluded.filter(({ because }) => because === 'stayed').map(({ file }) => file)),
    ];
    return `would be harmonic ${best.harmonic} of ${after[c]!.excluded.map(({ source }) => source).join(' or ')} by frequency, but that whole comb runs on with it stated to be off (${files.join(', ')})`;
  }
  if (causeAlone === 'ambiguous' && switched.cause === 'source' && now !== undefined) {
    const gone = after[c]!.wentWith[0];
    const kept = [...new Set(after[c]!.excluded.map(({ source }) => source))].filter((source) => source !== now.source);
    const reasons = [
      ...(gone === undefined
        ? []
        : [`the whole comb goes when ${gone.sources.join(', ')} is switched off (${gone.file})`]),
      ...(kept.length === 0
        ? []
        : [`${kept.join(', ')} ${kept.length === 1 ? 'is' : 'are'} ruled out by what was switched off`]),
    ];
    return `is ${whose(now)}: frequency alone could not choose, but ${reasons.length === 0 ? 'switching gave the other owner another comb' : reasons.join(', and ')}`;
  }
  return null;
}

/** Combs as they stand once every line has its cause: without the lines that are not theirs, under the owner that switching left. */
function combsLeft(
  combs: readonly Comb[],
  views: readonly CombView[],
  explanations: readonly WeighedExplanation[],
  after: readonly OwnersAfter[],
  notSeenAlone: readonly SourceNotSeen[],
): { combs: Comb[]; notSeen: SourceNotSeen[] } {
  const taken = combs.map(() => new Set<number>());
  explanations.forEach(({ cause, causeAlone }, i) => {
    const isElsewhere =
      cause === 'ambient' || cause === 'instrument' || (cause !== causeAlone && cause === 'unexplained');
    if (!isElsewhere) return;
    for (const [c, { lines }] of views.entries())
      for (const [harmonic, spur] of lines) if (spur === i) taken[c]!.add(harmonic);
  });
  const notSeen = [...notSeenAlone];
  const left = combs.flatMap((comb, c): Comb[] => {
    // a comb that nobody of the register could own is one, also where it comes from outside
    if (views[c]!.owners.length === 0) return [comb];
    const harmonicsSeen = comb.harmonicsSeen.filter((harmonic) => !taken[c]!.has(harmonic));
    // two lines are no comb: with one or none left nothing of it stands
    if (taken[c]!.size > 0 && harmonicsSeen.length < 2) {
      for (const source of comb.source === null ? comb.couldAlsoBe : [comb.source])
        notSeen.push({ source, reason: 'the lines that would be its comb are from outside or from the measuring kit' });
      return [];
    }
    const { owners, isRefuted, excluded } = after[c]!;
    if (isRefuted) {
      for (const { source } of excluded)
        notSeen.push({ source, reason: 'the comb that would be its own runs on while it is off' });
      return [{ ...comb, harmonicsSeen, source: null, couldAlsoBe: [] }];
    }
    const settled =
      owners.length === 1 && (comb.source !== null || after[c]!.wentWith.length > 0 || excluded.length > 0);
    return [
      settled
        ? { ...comb, harmonicsSeen, source: owners[0]!, couldAlsoBe: [] }
        : { ...comb, harmonicsSeen, couldAlsoBe: comb.source === null ? owners : comb.couldAlsoBe },
    ];
  });
  const claimed = new Set(left.flatMap((comb) => [comb.source, ...comb.couldAlsoBe]));
  const seen = new Set<string>();
  return {
    combs: left,
    notSeen: notSeen.filter(({ source }) => {
      if (claimed.has(source) || seen.has(source)) return false;
      seen.add(source);
      return true;
    }),
  };
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

/** A comb that runs on with its only owner stated off: either the register or the statement is wrong, and somebody should look. */
function statementsInDoubt(
  captures: readonly Followed[],
  views: readonly CombView[],
  after: readonly OwnersAfter[],
): string[] {
  return after.flatMap(({ isRefuted, excluded }, c) => {
    if (!isRefuted) return [];
    const fed = captures.some(({ switchedOff }) => switchedOff.length > 1)
      ? ', or off only because what feeds it was'
      : '';
    return [
      `the comb at ${views[c]!.comb.fundamentalHz.toFixed(0)} Hz runs on in ${[...new Set(excluded.map(({ file }) => file))].join(', ')} with ${[...new Set(excluded.map(({ source }) => source))].join(', ')} stated off${fed}: check that statement`,
    ];
  });
}
