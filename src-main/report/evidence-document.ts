import type { Decision } from '../model/decision.ts';
import type { Claim, DecisionStanding, DriftEstimate, Evidence } from '../model/evidence.ts';
import type { EvidenceSettings } from '../model/evidence-settings.ts';
import type { LevelUnit } from '../model/level-unit.ts';
import { fromDecibels } from '../units/levels.ts';

/** A decision of an engineer with how it stands against the evidence of today. */
export interface StandingDecision {
  readonly decision: Decision;
  readonly standing: DecisionStanding;
}

/** One piece of evidence; `limit` in the capture's stated unit, changes in dB. */
export function evidenceDocument(one: Evidence, unit: LevelUnit) {
  return {
    kind: one.kind,
    file: one.file,
    outcome: one.outcome,
    sources: one.sources,
    supports: one.supports.map(claimDocument),
    contradicts: one.contradicts.map(claimDocument),
    change_db: one.changeDb,
    change_sigma_db: one.changeSigmaDb,
    limit: one.limitDb === null ? null : fromDecibels(one.limitDb, unit),
    order: one.order,
    sentence: one.sentence,
  };
}

const claimDocument = ({ cause, source }: Claim) => ({ cause, source });

export function driftDocument(drift: DriftEstimate) {
  return {
    source: drift.source,
    ppm_per_k: drift.ppmPerK,
    sigma_ppm_per_k: drift.sigmaPpmPerK,
    degrees_of_freedom: drift.degrees,
    low_c: drift.lowC,
    high_c: drift.highC,
    captures: drift.captures,
    registered_ppm_per_k: drift.registeredPpmPerK,
    same_as: drift.sameAs,
    offered_ppm_per_k: drift.offer?.driftPpmPerK ?? null,
    sentence: drift.sentence,
  };
}

/** `spur` is the place of the line in the list of spurs, counted from 0; null where no line is left that it could mean. */
export function decisionDocument({ decision, standing }: StandingDecision) {
  return {
    frequency_hz: decision.frequencyHz,
    kind: decision.kind,
    source: decision.source,
    harmonic: decision.harmonic,
    note: decision.note,
    by: decision.by,
    at: decision.at,
    spur: standing.spur,
    found_by: standing.foundBy,
    standing: standing.standing,
    sentence: standing.sentence,
  };
}

/** Every threshold with which captures were weighed against each other. */
export function evidenceSettings(settings: EvidenceSettings) {
  return {
    repeatability_db: settings.repeatabilityDb,
    same_sigma: settings.sameSigma,
    absent_margin_db: settings.absentMarginDb,
    limit_confidence: settings.limitConfidence,
    highest_order: settings.highestOrder,
    comb_share: settings.combShare,
    comb_lines: settings.combLines,
    free_running_drift_ppm: settings.freeRunningDriftPpm,
    load_shift_ppm: settings.loadShiftPpm,
    load_level_db: settings.loadLevelDb,
    comb_odds_ln: settings.combOdds,
    temperature_sigma_c: settings.temperatureSigmaC,
    drift_range_c: settings.driftRangeC,
  };
}
