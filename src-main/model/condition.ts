import type { Averaging, Detector } from './capture.ts';

export type CaptureRole = 'item' | 'off' | 'terminated' | 'attenuated';

export type TerminationPlace = 'analyser' | 'probe';
export type AttenuatorKind = 'internal' | 'external' | 'external-corrected';

/** How a capture was taken, as far as its own file does not say. One row of the condition table (CSV). */
export interface Condition {
  readonly file: string;
  readonly role: CaptureRole;
  readonly point: string | null;
  readonly state: string | null;
  readonly mode: string | null;
  /** null: nobody said; an empty list: said to be none. */
  readonly sourcesOn: readonly string[] | null;
  readonly sourcesOff: readonly string[] | null;
  readonly temperatureC: number | null;
  readonly attenuationDb: number | null;
  readonly unit: string | null;
  readonly rbwHz: number | null;
  readonly averages: number | null;
  readonly averaging: Averaging | null;
  readonly detector: Detector | null;
  readonly gainDb: number | null;
  /** The gain state of the receiver that took it, by the name its team has for it. Left out or null: nobody said. */
  readonly gainState?: string | null;
  /** What loaded the item under test: dummy load, flight unit … Left out or null: nobody said; so are the next three. */
  readonly load?: string | null;
  readonly operator?: string | null;
  /** Which analyser or receiver, in the team's own words. */
  readonly instrument?: string | null;
  /** Date of the instrument's last calibration, ISO 8601 (2026-01-31). */
  readonly calibratedOn?: string | null;
  /** Role terminated: where the load sits. At the analyser it shows the analyser alone, at the probe's end also the cable. */
  readonly terminatedAt?: TerminationPlace | null;
  /**
   * Role attenuated: `internal`: the analyser's own, for which it corrects its levels; `external`: a pad nobody corrects for;
   * `external-corrected`: a pad that was entered as an offset, so that levels are corrected. `attenuationDb` of an external pad is the pad's.
   */
  readonly attenuator?: AttenuatorKind | null;
}
