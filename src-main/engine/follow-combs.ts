import type { Candidate } from '../model/attribution.ts';
import { DEFAULT_COMPARE_SETTINGS } from '../model/compare-settings.ts';
import type { LoadShift } from '../model/evidence.ts';
import type { EvidenceSettings } from '../model/evidence-settings.ts';
import type { Source } from '../model/source.ts';
import type { TriagedTrace } from '../model/triaged-trace.ts';
import type { ReferenceChoice } from './evidence/choose-references.ts';
import type { MovedCapture } from './evidence/co-drift.ts';
import { combFates, type CombFate } from './evidence/comb-fate.ts';
import { combViews, type CombView } from './evidence/comb-view.ts';
import { findLevel, type LevelFinding } from './evidence/level-finding.ts';
import type { OwnersAfter, SwitchedCapture } from './evidence/owners-by-switching.ts';
import type { WeighedLine } from './evidence/sight.ts';
import { statusLookup } from './evidence/source-status.ts';
import type { ReferenceLook } from './reference-look.ts';
import { largestMove } from './tracking/source-drift.ts';

/** One other capture that serves, and the looks into it. */
export interface Reference extends ReferenceLook {
  readonly triaged: TriagedTrace;
  readonly choice: ReferenceChoice;
}

/** A capture into which the combs were followed. */
export interface Followed extends SwitchedCapture {
  readonly reference: Reference;
  readonly choice: ReferenceChoice;
  readonly findings: readonly LevelFinding[];
  readonly kind: 'switch-off' | 'co-drift';
}

/** Every capture of the item, and of it with all off: what became of the combs and of each line at its own place. */
export function followCombs(
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

/** A line moved along if it stands within this of its level: loads change levels. A choice of this tool. */
const LIKE_LEVEL_DB = 6;

/** A capture as a line without a comb sees it: where each comb's ratio would put it, and whether a line stands there. */
export function movedCapture(
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

/** Did the comb move far enough for its tooth to be told from its old place? */
export function isApart(fate: CombFate, { predictedHz }: Candidate, { here, there }: Reference): boolean {
  return Math.abs(predictedHz * (fate.ratio! - 1)) > Math.max(here.rbwHz, there.rbwHz, there.spacingHz);
}

/** Whose a comb is, in words. */
export function ownerWords({ comb, owners }: CombView): string {
  return (
    comb.source ?? (owners.length > 0 ? owners.join(' or ') : `the unknown comb at ${comb.fundamentalHz.toFixed(0)} Hz`)
  );
}

/** Combs that ran on and moved by more than their fits and axes can account for when something was switched off. */
export function loadShiftsOf(
  captures: readonly Followed[],
  views: readonly CombView[],
): (LoadShift & { comb: number })[] {
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

/** A comb that runs on with its only owner stated off: either the register or the statement is wrong, and somebody should look. */
export function statementsInDoubt(
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
