/** Windows that a recording can be weighted with; the coefficients stand in engine/spectrum/windows.ts. */
export type WindowName =
  'rectangular' | 'hann' | 'hamming' | 'blackman' | 'exact-blackman' | 'blackman-harris' | 'nuttall' | 'flat-top';

/** How a spectrum is made of a recording, in the user's terms; the bins follow (engine/spectrum/plan-segments.ts). */
export interface SpectrumSettings {
  readonly window: WindowName;
  /** Noise bandwidth wanted, in hertz; null: as fine as leaves about 64 averages, fewer of a short record. */
  readonly rbwHz: number | null;
  /** Share of a segment that the next one shares with it, 0 … 0.95. */
  readonly overlap: number;
  /** Stretch of the record that is used, in seconds from its start; null: to the end. */
  readonly fromS: number;
  readonly toS: number | null;
  /** Centre frequency of an I/Q record where the file states none or a wrong one; null: as the file says. */
  readonly centreHz: number | null;
  /** What a sample of 1 is worth in volts where the file states none; null: as the file says, else full scale. */
  readonly voltsPerUnit: number | null;
  /** What the voltage stands across, to give a power in dBm; null: not known, the spectrum stays in volts. */
  readonly impedanceOhm: number | null;
}

export const DEFAULT_SPECTRUM_SETTINGS: SpectrumSettings = {
  // Side lobes 92 dB down (Harris 1978): a strong line raises none over the floor of a common converter.
  window: 'blackman-harris',
  rbwHz: null,
  // At two thirds the segments of this window use nine tenths of what the record holds of independent averages (computed).
  overlap: 0.66,
  fromS: 0,
  toS: null,
  centreHz: null,
  voltsPerUnit: null,
  impedanceOhm: null,
};
