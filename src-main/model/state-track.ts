import type { Cause } from './attribution.ts';
import type { Exercised, TrackStatus } from './track.ts';

/** One line in one state. Levels in decibels of the grid's unit. */
export interface TrackCell {
  /** What became of it since the state it is held against; null in the first state that shows it with nothing before. */
  readonly status: TrackStatus | null;
  /** The state that the status is against; null with a null status. */
  readonly againstStateId: number | null;
  readonly levelDb: number | null;
  readonly levelSigmaDb: number | null;
  readonly frequencyHz: number | null;
  readonly upperLimitDb: number | null;
  readonly changeDb: number | null;
  readonly changeSigmaDb: number | null;
  readonly atLeastDb: number | null;
  /** Evidence that its source ran where it was not seen. */
  readonly exercised: Exercised;
  /** Level over what the bands allow there, dB; null outside all bands or where nothing comparable is allowed. */
  readonly overAllowedDb: number | null;
  readonly why: string;
}

/** One line of the build through all states at one measuring point. */
export interface StateTrack {
  /** Given in ascending order of first frequency; stable for one result. */
  readonly number: number;
  readonly source: string | null;
  readonly harmonic: number | null;
  readonly cause: Cause;
  /** Designators that could own it, best first. */
  readonly candidates: readonly { readonly source: string | null; readonly harmonic: number }[];
  /** Where it was seen first. */
  readonly frequencyHz: number;
  /** Name of the protected band it lies in; null outside. */
  readonly band: string | null;
  /** One a column; null: no capture of that state that is like the others, or the state lies on another branch before the line came. */
  readonly cells: readonly (TrackCell | null)[];
}

/** One build state of the grid. */
export interface GridColumn {
  readonly stateId: number;
  /** The nearest earlier measured state on its branch; null for a first one. */
  readonly againstStateId: number | null;
  /** Captures taken together as this state. Empty: nothing alike was measured. */
  readonly captureIds: readonly number[];
  /** Captures of the state that were left out, and why. */
  readonly leftOut: readonly { readonly captureId: number; readonly why: string }[];
  /** What the step to this state did, in one to three sentences with numbers and their uncertainty; '' for a first state. */
  readonly sentence: string;
}

/** All lines through all states at one point under one condition. */
export interface StateGrid {
  readonly point: string | null;
  readonly mode: string | null;
  /** Range of the temperatures of the captures, or null where none is stated. */
  readonly temperature: { readonly lowC: number; readonly highC: number } | null;
  readonly unit: string;
  readonly columns: readonly GridColumn[];
  readonly tracks: readonly StateTrack[];
  readonly warnings: readonly string[];
}
