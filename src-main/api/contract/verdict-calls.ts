import type { Band } from '../../model/band.ts';
import type { Disposition } from '../../model/disposition.ts';
import type { Judgement } from '../../model/judgement.ts';
import type { LimitLine } from '../../model/limit-line.ts';
import type { Requirement } from '../../model/requirement.ts';
import type { StateGrid } from '../../model/state-track.ts';

/** A limit line with where it is kept. */
export interface LimitEntry {
  /** null: built in. */
  readonly id: number | null;
  readonly line: LimitLine;
}

/** The conditions under which captures of a point were taken, one entry a set of captures that are alike. */
export interface GridChoice {
  readonly pointId: number | null;
  readonly point: string | null;
  readonly mode: string | null;
  /** Range of the temperatures; null where none is stated. */
  readonly temperature: { readonly lowC: number; readonly highC: number } | null;
  /** RBW, detector and averaging in words. */
  readonly settings: string;
  readonly states: number;
  readonly captureIds: readonly number[];
}

/** A table that is handed out. */
export interface TableFile {
  readonly file: string;
  readonly text: string;
}

type None = Record<string, never>;

/** Tracks through states, limits, requirements, acceptances, verdicts. */
export interface VerdictCalls {
  /** What a grid can be made of, the one with most states first. */
  gridChoices(argument: None): Promise<readonly GridChoice[]>;
  /** Follows every line through all states over these captures (those of one choice). Long: a job. */
  gridRun(argument: { captureIds: readonly number[]; jobId: string }): Promise<StateGrid>;

  bandPut(argument: { band: Band; replaces: string | null }): Promise<readonly Band[]>;
  /** The bands as a table that bandImport takes. */
  bandExport(argument: None): Promise<TableFile>;
  bandRemove(argument: { name: string }): Promise<readonly Band[]>;

  /** Built-in lines first. */
  limitList(argument: None): Promise<readonly LimitEntry[]>;
  /** The lines of a limit table (CSV), in place of own lines of the same name. */
  limitImport(argument: { file: string; text: string }): Promise<readonly LimitEntry[]>;
  /** The register's own lines as a table that limitImport takes. */
  limitExport(argument: None): Promise<TableFile>;
  /** Level of one line at frequencies; NaN where it sets no limit. Levels in the line's unit. */
  limitAt(argument: { name: string; frequencyHz: Float64Array }): Promise<Float64Array>;
  limitRemove(argument: { id: number }): Promise<void>;

  requirementList(argument: None): Promise<readonly Requirement[]>;
  requirementPut(argument: Omit<Requirement, 'id'> & { id: number | null }): Promise<Requirement>;
  /** The requirements of a table (CSV), in place of those with the same ID; the others stay. One step. */
  requirementImport(argument: { file: string; text: string }): Promise<readonly Requirement[]>;
  requirementExport(argument: None): Promise<TableFile>;
  requirementRemove(argument: { id: number }): Promise<void>;

  dispositionList(argument: None): Promise<readonly Disposition[]>;
  /** `at` is set by the program. */
  dispositionPut(argument: Omit<Disposition, 'id' | 'at'> & { id: number | null }): Promise<Disposition>;
  /** One reason and approver for several things: one step, one undo. */
  dispositionPutMany(argument: {
    dispositions: readonly Omit<Disposition, 'id' | 'at'>[];
  }): Promise<readonly Disposition[]>;
  dispositionRemove(argument: { id: number }): Promise<void>;

  /** Judges a state against all requirements. Missing or stale triages are computed first. Long: a job. */
  judgeRun(argument: { stateId: number; jobId: string }): Promise<Judgement>;
}
