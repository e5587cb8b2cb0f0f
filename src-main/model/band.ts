/** How a channel of the receiver answers to a line off its middle: the windows of an averaged periodogram, or sharp edges. */
export type ChannelResponse = 'sharp' | 'rectangular' | 'hann' | 'hamming' | 'blackman-harris' | 'flat-top';

/** A protected receive band. Columns as in the band table (CSV). */
export interface Band {
  readonly name: string;
  readonly lowHz: number;
  readonly highHz: number;
  readonly channelHz: number | null;
  readonly channelOriginHz: number | null;
  readonly allowedOverFloorDb: number | null;
  readonly allowedLevel: number | null;
  readonly allowedUnit: string | null;
  readonly weight: number;
  readonly sampleRateHz: number | null;
  readonly localOscillatorHz: number | null;
  /** Nyquist zone the band is sampled in, counted from 1; left out or null: the one it lies in. */
  readonly zone?: number | null;
  /**
   * Integration time of the observation in seconds. Where it is given, `allowedOverFloorDb` counts over what is left of the noise after
   * it, not over the noise itself. Left out or null: no integration.
   */
  readonly integrationS?: number | null;
  /** Left out or null: sharp edges, no leakage into neighbours. */
  readonly channelResponse?: ChannelResponse | null;
  /** What the receiver's filters take off lines outside the band before they fold or mix into it. Left out or null: nothing is known, none. */
  readonly imageRejectionDb?: number | null;
}

/** The bands that can put a harmonic at another frequency: they sample, or mix. */
export function foldingBands(bands: readonly Band[]): Band[] {
  return bands.filter(({ sampleRateHz, localOscillatorHz }) => sampleRateHz !== null || localOscillatorHz !== null);
}
