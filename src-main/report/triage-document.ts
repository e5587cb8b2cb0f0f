import { applyCondition } from '../model/apply-condition.ts';
import type { Capture } from '../model/capture.ts';
import type { Comb } from '../model/comb.ts';
import type { Condition } from '../model/condition.ts';
import type { InputProblem } from '../model/input-problem.ts';
import type { Source } from '../model/source.ts';
import type { Trace } from '../model/trace.ts';
import type { Triage } from '../model/triage.ts';
import type { DriftEstimate, WeighedTriage } from '../model/evidence.ts';
import {
  decisionDocument,
  driftDocument,
  evidenceDocument,
  evidenceSettings,
  type StandingDecision,
} from './evidence-document.ts';
import { plainJson, type Json } from './plain-json.ts';
import { problemDocument } from './problem-document.ts';
import { settingsDocument } from './settings-document.ts';
import { spurDocument, type SpurBand } from './spur-document.ts';

/** One capture after triage, with everything that decided the result. */
export interface TriagedCapture {
  readonly capture: Capture;
  /** The trace that was analysed, in the unit it was analysed in, and its place in the capture. */
  readonly trace: Trace;
  readonly traceIndex: number;
  readonly condition: Condition | null;
  readonly sources: readonly Source[];
  readonly triage: Triage;
  /** Parallel to the spurs; null for a spur outside all bands. Empty where no bands are known. */
  readonly bands: readonly (SpurBand | null)[];
  /** What other captures say of it; left out where they were not asked. Its explanations and combs are then those that hold. */
  readonly weighed?: WeighedTriage | undefined;
  /** What engineers decided about its lines, and how that stands; left out where no register is open. */
  readonly decisions?: readonly StandingDecision[] | undefined;
  /** What was noticed outside reader and engine: the other traces of the file, conditions that fit nothing … */
  readonly warnings: readonly string[];
}

/**
 * The document `spurledger.triage/1`.
 *
 * Levels are in each capture's stated unit, all else SI with the unit in the name. Captures that could not be
 * read are not among `captures` but in `problems`.
 */
export function triageDocument(
  captures: readonly TriagedCapture[],
  problems: readonly InputProblem[],
  drifts: readonly DriftEstimate[] = [],
): Json {
  return plainJson({
    schema: 'spurledger.triage/1',
    captures: captures.map(captureDocument),
    drifts: drifts.map(driftDocument),
    problems: problems.map(problemDocument),
  });
}

/** What is said of the capture's lines: weighed against other captures where that was done, else by itself. */
export function saidOf({ weighed, triage }: TriagedCapture): Pick<Triage, 'explanations' | 'combs' | 'notSeen'> {
  return weighed ?? triage;
}

function captureDocument(input: TriagedCapture) {
  const { capture, trace, triage, condition, weighed } = input;
  const { explanations, combs, notSeen } = saidOf(input);
  const taken = applyCondition(trace.settings, condition);
  return {
    file: capture.file,
    sha256: capture.sha256,
    layout: capture.layout,
    points: trace.frequencyHz.length,
    start_hz: trace.frequencyHz[0]!,
    stop_hz: trace.frequencyHz.at(-1)!,
    rbw_hz: taken.rbwHz,
    unit: trace.unit.name,
    averages: taken.averages,
    trace: trace.label,
    trace_number: input.traceIndex + 1,
    traces: capture.traces.length,
    role: condition?.role ?? 'item',
    sources_on: condition?.sourcesOn ?? null,
    sources_off: condition?.sourcesOff ?? null,
    warnings: [
      ...new Set([
        ...capture.warnings,
        ...input.warnings,
        ...triage.floor.warnings,
        ...triage.warnings,
        ...(weighed?.warnings ?? []),
      ]),
    ],
    settings: {
      ...settingsDocument({ triage, fileSettings: trace.settings, condition, sources: input.sources }),
      ...(weighed === undefined ? {} : { evidence: evidenceSettings(weighed.settings) }),
    },
    false_alarms_expected: triage.floor.falseAlarmsExpected,
    weakest_detectable_over_floor_db: triage.floor.weakestDetectableOverFloorDb,
    spurs: triage.spurs.map((spur, i) => ({
      ...spurDocument(spur, explanations[i]!, trace.unit),
      ...(weighed === undefined
        ? {}
        : {
            cause_alone: weighed.explanations[i]!.causeAlone,
            evidence: weighed.explanations[i]!.evidence.map((one) => evidenceDocument(one, trace.unit)),
          }),
      band: input.bands[i]?.name ?? null,
      over_allowed_db: input.bands[i]?.overAllowedDb ?? null,
    })),
    combs: combs.map((comb) => ({
      ...ownerOf(comb),
      fundamental_hz: comb.fundamentalHz,
      fundamental_sigma_hz: comb.fundamentalSigmaHz,
      seen: comb.harmonicsSeen.length,
      expected: comb.harmonicsExpected.length,
      harmonics_seen: comb.harmonicsSeen,
      harmonics_expected: comb.harmonicsExpected,
      chance: comb.chance,
    })),
    not_seen: notSeen.map(({ source, reason }) => ({ source, reason })),
    ...(weighed === undefined
      ? {}
      : {
          references: weighed.references.map(({ file, as, why }) => ({ file, as, why })),
          load_shifts: weighed.loadShifts.map((shift) => ({
            source: shift.source,
            fundamental_hz: shift.fundamentalHz,
            file: shift.file,
            switched_off: shift.switchedOff,
            ppm: shift.ppm,
            sigma_ppm: shift.sigmaPpm,
          })),
        }),
    ...(input.decisions === undefined ? {} : { decisions: input.decisions.map(decisionDocument) }),
    sources_below: (triage.below ?? []).map((below) => ({
      source: below.source ?? below.couldAlsoBe[0] ?? null,
      could_also_be: below.source === null ? below.couldAlsoBe.slice(1) : below.couldAlsoBe,
      fundamental_hz: below.fundamentalHz,
      fundamental_sigma_hz: below.fundamentalSigmaHz,
      fundamentals_tried: below.trials,
      harmonics_stacked: below.harmonicsStacked,
      mean_over_floor_db: below.meanOverFloorDb,
      sigma_db: below.sigmaDb,
      upper_limit_over_floor_db: below.upperLimitOverFloorDb,
      chance: below.chance,
      why: below.why,
    })),
    families: (triage.families ?? []).map((family) => ({
      kind: family.kind,
      sources: family.sources,
      spacing_hz: family.spacingHz,
      spacing_sigma_hz: family.spacingSigmaHz,
      band: family.band,
      spurs: family.spurs,
      places: family.places,
      chance: family.chance,
      why: family.why,
    })),
    spreads: (triage.spreads ?? []).map((spread) => ({
      source: spread.source,
      stated_ppm: spread.statedPpm,
      estimated_ppm: spread.estimatedPpm,
      sigma_ppm: spread.sigmaPpm,
      humps: spread.humps,
    })),
    reasons: missing({ rbw_hz: taken.rbwHz, averages: taken.averages }),
  };
}

/**
 * In the document a comb without a source is one that the register does not know. A comb that several entries could own is
 * therefore given under the first of them, and `could_also_be` names the others.
 */
function ownerOf({ source, couldAlsoBe }: Comb) {
  return source === null
    ? { source: couldAlsoBe[0] ?? null, could_also_be: couldAlsoBe.slice(1) }
    : { source, could_also_be: couldAlsoBe };
}

/** Why a value that the document always carries is null. */
function missing(values: Readonly<Record<string, number | null>>): Record<string, string> | undefined {
  const unstated = Object.entries(values).filter(([, value]) => value === null);
  if (unstated.length === 0) return undefined;
  return Object.fromEntries(unstated.map(([field]) => [field, 'neither the file nor the conditions state it']));
}
