/** A range of temperatures at which a requirement must be shown, both ends included. */
export interface TemperatureRange {
  readonly lowC: number;
  readonly highC: number;
}

/** What is demanded of each band that a requirement names. */
export type Demand =
  /** No line of the build above what is allowed. */
  | { readonly kind: 'strongest-line' }
  /** At least so many channels that no line spoils: a count, or a share of the band's channels (0…1). */
  | { readonly kind: 'clean-channels'; readonly atLeast: number; readonly as: 'count' | 'share' };

/** A requirement on the build by the ID that the team's own documents give it. */
export interface Requirement {
  readonly id: number;
  /** Unique in the register: RX-014. */
  readonly code: string;
  readonly text: string;
  /** Names of protected bands. Empty: nothing can be shown, and the verdict says so. */
  readonly bands: readonly string[];
  readonly demand: Demand;
  /** Name of the limit line that says what is allowed; null: what each band itself allows. */
  readonly limit: string | null;
  /** Operating modes in which it must be shown, each by itself; empty: in whatever mode the captures are. */
  readonly modes: readonly string[];
  /** Temperatures at which it must be shown, each by itself; empty: at whatever temperature the captures are. */
  readonly temperatures: readonly TemperatureRange[];
  /** Measuring points by name; empty: every receiver port of the register, or where there is none every point with a capture. */
  readonly points: readonly string[];
}
