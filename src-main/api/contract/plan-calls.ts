import type { PlanCurve, PlanMap } from '../../model/plan-curve.ts';
import type { GuessScore } from '../../model/guess-score.ts';
import type { AdoptedPlan, PlanBasis } from '../../model/adopted-plan.ts';
import type { PlanCheck } from '../../model/plan-check.ts';
import type { Planning, PlanRisks, SourceSetting, TriedPlan } from '../../model/plan.ts';

/** What captures say of one source today. */
export interface MeasuredSource {
  readonly source: string;
  readonly fundamentalHz: number;
  readonly fundamentalSigmaHz: number;
  readonly file: string;
  /** The loudest of its lines inside a band; null where none was seen there. Only captures tell levels. */
  readonly loudest: {
    readonly harmonic: number;
    readonly frequencyHz: number;
    readonly levelDb: number;
    readonly levelSigmaDb: number;
    readonly unit: string;
  } | null;
}

/** Settings made by hand, worked out. */
export interface PlanTrial extends TriedPlan {
  /** Today's channels, for comparison. */
  readonly today: TriedPlan;
}

export interface PlanCalls {
  /** Searches for better settings. `quick`: the first plans within about a second, with a weaker proof. */
  planRun(argument: { basis: PlanBasis; quick: boolean; jobId: string }): Promise<Planning>;
  /** What if: the cost of settings made by hand. */
  planTry(argument: { basis: PlanBasis; chosen: readonly SourceSetting[] }): Promise<PlanTrial>;
  planRisks(argument: { basis: PlanBasis; chosen: readonly SourceSetting[] }): Promise<PlanRisks>;
  planCurve(argument: {
    basis: PlanBasis;
    chosen: readonly SourceSetting[];
    source: string;
    points: number;
  }): Promise<PlanCurve>;
  planMap(argument: {
    basis: PlanBasis;
    chosen: readonly SourceSetting[];
    first: string;
    second: string;
    columns: number;
    rows: number;
  }): Promise<PlanMap>;
  /** What the last triages of the item's captures say of each source. */
  planMeasured(argument: Record<string, never>): Promise<readonly MeasuredSource[]>;
  planList(argument: Record<string, never>): Promise<readonly AdoptedPlan[]>;
  /** Keeps a plan; with a name for the state that is planned with it, makes that state too. One step of the history. */
  planAdopt(argument: {
    title: string;
    basis: PlanBasis;
    chosen: readonly SourceSetting[];
    stateName: string | null;
    parentId: number | null;
  }): Promise<AdoptedPlan>;
  planDrop(argument: { id: number }): Promise<void>;
  /** Predicted against measured; null where the planned state has no capture with a triage yet. */
  planCheck(argument: { id: number }): Promise<PlanCheck | null>;
  /** How well the lines of a capture's last triage fit a fundamental somebody guessed; null without a triage. */
  guessScore(argument: { captureId: number; fundamentalHz: number }): Promise<GuessScore | null>;
}
