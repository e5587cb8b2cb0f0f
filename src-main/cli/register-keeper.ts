import type { BesideGiven } from '../register/capture-store.ts';
import { resolve } from 'node:path';
import packageFacts from '../../package.json' with { type: 'json' };
import { createRegister, openRegister, type Register } from '../register/register.ts';
import { importBands } from '../api/steps/register-tables.ts';
import { calibratedTrace, tablesOf } from '../api/steps/calibrated-trace.ts';
import { computedOf, triageKey } from '../api/triage-key.ts';
import { existsSync } from 'node:fs';
import { silentCondition } from '../model/silent-condition.ts';
import type { Condition } from '../model/condition.ts';
import type { Band } from '../model/band.ts';
import type { LineExplanation } from '../model/attribution.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../model/triage-settings.ts';
import type { TriagedTrace } from '../model/triaged-trace.ts';
import type { Spur } from '../model/spur.ts';
import { analyseTrace } from '../engine/analyse.ts';
import { decisionStandings } from '../engine/evidence/decision-standing.ts';
import { placedCondition } from '../api/steps/placed-condition.ts';
import { withStatedUnit } from '../api/steps/choose-trace.ts';
import { columnToDecibels } from '../units/levels.ts';
import { decisionsOn } from '../model/decision.ts';
import type { StandingDecision } from '../report/evidence-document.ts';
import type { Source } from '../model/source.ts';
import type { TriagedCapture } from '../report/triage-document.ts';
import type { Collected } from './collected.ts';
import type { TablesInput } from './tables-input.ts';
import { whoOf } from './who-of.ts';

/** A capture of the register, to serve as a reference. */
export interface KeptCapture {
  readonly sha256: string;
  readonly file: string;
  readonly condition: Condition;
  readonly load: () => TriagedTrace;
}

/** The register file of a headless call. */
export interface Keeper {
  /** What the register knows, the tables of this call taken in. */
  readonly sources: readonly Source[];
  readonly bands: readonly Band[];
  /** Takes a capture in with the bytes of its file, its condition and its result. The same bytes again change only the latter. */
  readonly keep: (triaged: TriagedCapture, bytes: Uint8Array, beside: ReadonlyMap<string, BesideGiven>) => void;
  /** Every capture the register holds, its trace and triage (computed where none is kept) loaded when asked for. */
  readonly others: () => readonly KeptCapture[];
  /** What engineers decided about a capture's lines and how that stands against what is said of them now. */
  readonly standings: (
    sha256: string,
    spurs: readonly Spur[],
    explanations: readonly LineExplanation[],
  ) => StandingDecision[];
  readonly close: () => void;
}

/**
 * Opens the register that a call names (made where there is none) and takes the call's tables in.
 *
 * Null where it cannot be opened, or one of the call's tables was refused: results of a call that is half
 * wrong are shown but not kept.
 */
export function openKeeper(file: string, tables: TablesInput, folder: string, collected: Collected): Keeper | null {
  if (tables.refused.length > 0) {
    collected.warn(file, [`nothing is kept, since ${tables.refused.join(' and ')} was refused`]);
    return null;
  }
  return collected.attempt(file, () => {
    const path = resolve(folder, file);
    const options = { who: whoOf(), now: () => new Date() };
    const register = existsSync(path)
      ? openRegister(path, options)
      : createRegister(path, { title: titleOf(path), isInvented: false }, options);
    try {
      if (tables.sources !== null) register.sources.import(tables.sources, false);
      if (tables.bands !== null) importBands(register, tables.bands);
    } catch (error) {
      register.close();
      throw error;
    }
    const sources = register.sources.list().map(({ source }) => source);
    return {
      sources,
      bands: register.bands.list(),
      keep: ({ capture, condition, traceIndex, sources, triage }, bytes, beside) => {
        const used = condition ?? silentCondition(capture.file);
        const { sha256 } = capture;
        const computed = computedOf(capture.traces[traceIndex]?.settings);
        const bands = register.bands.list();
        const inputs = { sha256, traceIndex, condition: used, sources, settings: triage.settings, computed, bands };
        // One step for all: a capture without its result, or with half of its condition, is never seen.
        register.step(() => {
          const { id } = register.captures.add(capture, bytes, used, traceIndex, beside).capture;
          const { stateId, pointId } = placesOf(condition, register);
          register.captures.assign([id], { condition: condition ?? undefined, traceIndex, stateId, pointId });
          register.results.put(id, traceIndex, triageKey(inputs, packageFacts.version), triage);
        });
      },
      others: () =>
        register.captures.list().map((capture) => ({
          sha256: capture.sha256,
          file: capture.file,
          condition: placedCondition(capture, register),
          load: () => {
            const { id, sha256, file, condition, traceIndex } = capture;
            const stated = withStatedUnit(register.captures.trace(id, traceIndex), condition);
            const { trace } = calibratedTrace(register, capture, stated);
            const calibration = tablesOf(register, capture.calibration);
            const computed = computedOf(stated.settings);
            const settings = DEFAULT_TRIAGE_SETTINGS;
            const bands = register.bands.list();
            const inputs = { sha256, traceIndex, condition, sources, settings, calibration, computed, bands };
            const basis = triageKey(inputs, packageFacts.version);
            const kept = register.results.get(id, traceIndex);
            const triage =
              kept !== null && kept.basis === basis
                ? kept.triage
                : analyseTrace({ trace, sources, condition, bands, settings });
            const levelDb = columnToDecibels(trace.level, trace.unit);
            return { trace, levelDb, triage, condition: placedCondition(capture, register), file };
          },
        })),
      standings: (sha256, spurs, explanations) => {
        const capture = register.captures.findBySha256(sha256);
        if (capture === null) return [];
        const decisions = decisionsOn(capture.id, register.decisions.list());
        const standings = decisionStandings(decisions, spurs, explanations);
        return decisions.map((decision, i) => ({ decision, standing: standings[i]! }));
      },
      close: () => register.close(),
    };
  });
}

/** State and point that a condition names, where the register has them; undefined leaves what is there. */
function placesOf(condition: Condition | null, register: Register): { stateId?: number; pointId?: number } {
  const state = register.states.list().find(({ name }) => name === condition?.state);
  const point = register.points.list().find(({ name }) => name === condition?.point);
  return {
    ...(state === undefined ? {} : { stateId: state.id }),
    ...(point === undefined ? {} : { pointId: point.id }),
  };
}

function titleOf(path: string): string {
  return path.replace(/^.*[/\\]/, '').replace(/\.[^.]+$/, '');
}
