/**
 * Bandwidths of a Gaussian resolution filter. Its power response is exp(−4·ln 2·(f/B3)²) where B3 is the full width at half power:
 * the width at −A dB is B3·√(A/(10·log10 2)), the noise bandwidth the area under the response, B3·√(π/(4·ln 2)).
 *
 * Swept analysers state the 3 dB width, EMI receivers the 6 dB width (CISPR 16-1-1), FFT analysers the noise bandwidth.
 */
export type BandwidthShape = '3 dB' | '6 dB' | 'noise';

/** −3 dB is taken as half power: 10·log10 2 = 3.0103 dB. */
const HALF_POWER_DB = 10 * Math.log10(2);
/** Width at a quarter of the power over the width at half of it: √2. */
export const SIX_DB_OVER_THREE_DB = Math.sqrt((20 * Math.log10(2)) / HALF_POWER_DB);
/** Noise bandwidth over the 3 dB width: 1.0645. */
export const NOISE_OVER_THREE_DB = Math.sqrt(Math.PI / (4 * Math.LN2));

const OVER_THREE_DB: Readonly<Record<BandwidthShape, number>> = {
  '3 dB': 1,
  '6 dB': SIX_DB_OVER_THREE_DB,
  noise: NOISE_OVER_THREE_DB,
};

/** A Gaussian filter's bandwidth stated between one pair of points, as that between another. Hz in, Hz out. */
export function convertBandwidth(bandwidthHz: number, from: BandwidthShape, to: BandwidthShape): number {
  return (bandwidthHz / OVER_THREE_DB[from]) * OVER_THREE_DB[to];
}

/** The noise bandwidth of a filter whose shape may be unknown; unknown is taken as 3 dB, which the caller must say. */
export function noiseBandwidthHz(rbwHz: number, shape: BandwidthShape | null): number {
  return convertBandwidth(rbwHz, shape ?? '3 dB', 'noise');
}

/** By how much stationary noise rises from one noise bandwidth to another, in dB; a line in both does not change. */
export function noiseChangeDb(fromHz: number, toHz: number): number {
  return 10 * Math.log10(toHz / fromHz);
}
