export type SourceKind = 'converter' | 'clock' | 'other';
export type SourceOwner = 'ours' | 'host' | 'support' | 'facility';

/** A source bound to another's frequency: it runs at `locked_to` × numerator / denominator. */
export interface SourceLock {
  readonly to: string;
  readonly numerator: number;
  readonly denominator: number;
}

/** What a designer could still choose for a source. */
export interface SourceAdjustment {
  readonly lowHz: number;
  readonly highHz: number;
  /** null: any frequency in the range. */
  readonly stepHz: number | null;
}

/**
 * Anything on or around the payload that switches and so paints a comb of lines.
 *
 * Columns as in the source table (CSV). `tolerancePpm` is ± about nominal; null means the default of its kind
 * (see source-defaults.ts), which the output says. `spreadPpm` is the peak-to-peak deliberate frequency modulation.
 */
export interface Source {
  readonly designator: string;
  readonly kind: SourceKind;
  readonly nominalHz: number;
  readonly tolerancePpm: number | null;
  readonly driftPpmPerK: number | null;
  readonly spreadPpm: number | null;
  readonly lock: SourceLock | null;
  /** Share of the period the switch is on, 0…1. */
  readonly duty: number | null;
  readonly riseS: number | null;
  /** Highest harmonic expected; null: no limit but the band's. */
  readonly maxHarmonic: number | null;
  readonly adjust: SourceAdjustment | null;
  /** Designator of the source whose switching off takes this one along. */
  readonly fedBy: string | null;
  readonly owner: SourceOwner;
  readonly serial: string;
  readonly notes: string;
}
