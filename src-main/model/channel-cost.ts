import type { SourceOwner } from './source.ts';

/** Channels of one band in one state at one point. `clean + spoiled + doubtful + unknown = channels`. */
export interface BandCost {
  readonly stateId: number;
  readonly point: string;
  readonly band: string;
  readonly channels: number;
  /** Certainly clean: shown so with the doubt against the build. */
  readonly clean: number;
  /** Certainly spoiled. */
  readonly spoiled: number;
  /** A line lies within its own doubt of what is allowed, or of the channel's edge. */
  readonly doubtful: number;
  /** Not covered, not sensitive enough, or under something that is not the build's. */
  readonly unknown: number;
  /** `clean` over `channels`; null without channels. */
  readonly cleanShare: number | null;
}

/** What one source costs in all bands of a state, weighted by the bands. */
export interface SourceCost {
  /** Designator; `u1` … for a comb the register does not know; null: lines that nobody explains. */
  readonly source: string | null;
  readonly owner: SourceOwner | null;
  /** Channels that it alone spoils: they come back if it is silenced. */
  readonly soleChannels: number;
  /** Channels that it spoils together with others, or that one of several candidates spoils. */
  readonly sharedChannels: number;
  /** `soleChannels` weighted by each band's weight. */
  readonly gain: number;
  /** By band name, in the order of the bands. */
  readonly byBand: readonly { readonly band: string; readonly sole: number; readonly shared: number }[];
  /** Place of its strongest excess: where to look first. */
  readonly worst: { readonly captureId: number; readonly spurIndex: number; readonly overAllowedDb: number } | null;
  /** By whose decisions lines count for it that the tool alone gives nobody or another; left out: by nobody's. */
  readonly decidedBy?: readonly string[];
}

/** One step of fixing several: what each further source brings once those before it are silent. */
export interface FixStep {
  readonly source: string | null;
  readonly channels: number;
  readonly gain: number;
  /** Lost channels that are left after this step. */
  readonly left: number;
}

/** What to fix next: ours and the support equipment's; and what only a constraint on others can cure. Dearest first. */
export interface FixNext {
  readonly stateId: number;
  readonly ours: readonly SourceCost[];
  readonly constraints: readonly SourceCost[];
  /** Nobody's: unknown combs and unexplained lines; to be named before they can be fixed. */
  readonly unnamed: readonly SourceCost[];
  /** The order in which fixing several of `ours` brings most, each step given the ones before. */
  readonly together: readonly FixStep[];
}
