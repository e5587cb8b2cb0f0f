import type { TemperatureRange } from './requirement.ts';

/** One combination of what had to be measured, and what was. */
export interface CoverageCell {
  /** null: mode not stated, or whatever mode. */
  readonly mode: string | null;
  readonly temperature: TemperatureRange | null;
  readonly band: string;
  readonly point: string;
  /** Captures of the state judged (or inherited) that lie in this cell and touch the band. */
  readonly captureIds: readonly number[];
  /** Share of the band that they cover together, 0…1. */
  readonly coveredShare: number;
  /** True where a requirement asks for this combination. */
  readonly isRequired: boolean;
}

/** Modes × temperatures × bands × points: everything that is required or that captures were taken of. */
export interface Coverage {
  readonly modes: readonly (string | null)[];
  readonly temperatures: readonly (TemperatureRange | null)[];
  readonly bands: readonly string[];
  readonly points: readonly string[];
  readonly cells: readonly CoverageCell[];
  /** Required cells that no capture covers wholly. */
  readonly gaps: number;
}
