import type { ChannelResponse } from '../../model/band.ts';
import { cosineSumResponse } from '../numeric/cosine-sum-response.ts';

/**
 * How far off its channel, in channel widths from the channel's middle, a line is still felt.
 *
 * The response of a channel made with a cosine-sum window, W(d) = Σ aₖ·[sinc(d − k) + sinc(d + k)]/2, as an envelope: the largest value
 * at d or beyond, so that a null between side lobes never saves a channel. Inside the channel (|d| ≤ ½) a line counts fully.
 * Coefficients: Harris 1978 (four-term Blackman-Harris −92 dB), D’Antona & Ferrero 2006 (flat-top).
 */
const COEFFICIENTS: Readonly<Record<Exclude<ChannelResponse, 'sharp'>, readonly number[]>> = {
  rectangular: [1],
  hann: [0.5, 0.5],
  hamming: [0.54, 0.46],
  'blackman-harris': [0.35875, 0.48829, 0.14128, 0.01168],
  'flat-top': [0.21557895, 0.41663158, 0.277263158, 0.083578947, 0.006947368],
};

/** Response relative to the channel's middle, in dB, at a distance in channel widths (one bin of the averaged periodogram). */
export function windowResponseDb(response: Exclude<ChannelResponse, 'sharp'>, distance: number): number {
  return 20 * Math.log10(Math.abs(cosineSumResponse(distance, COEFFICIENTS[response])));
}

const STEP = 0.01;
/** Beyond this many channels nothing is felt: rectangular leakage has fallen to −40 dB by 32 channels, and is followed to 1000. */
const FARTHEST = 1000;

const envelopes = new Map<string, Float64Array>();

/** Largest response at each multiple of STEP or beyond. */
function envelopeOf(response: Exclude<ChannelResponse, 'sharp'>): Float64Array {
  const known = envelopes.get(response);
  if (known !== undefined) return known;
  const values = new Float64Array(FARTHEST / STEP + 1);
  let largest = -Infinity;
  for (let i = values.length - 1; i >= 0; i--) {
    largest = Math.max(largest, windowResponseDb(response, i * STEP));
    values[i] = largest;
  }
  envelopes.set(response, values);
  return values;
}

/**
 * How far from a channel's middle, in channel widths, a line may lie and still exceed what is allowed there.
 *
 * @param overAllowedDb the line's level over what is allowed; not positive: it exceeds nowhere, 0 is returned
 * @returns ½ for sharp channels, ½ or more otherwise
 */
export function reachInChannels(response: ChannelResponse, overAllowedDb: number): number {
  if (!(overAllowedDb > 0)) return 0;
  if (response === 'sharp') return 0.5;
  const envelope = envelopeOf(response);
  // last place where the envelope still stands at −over: the envelope falls, so bisect
  let low = 0;
  let high = envelope.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (envelope[middle]! > -overAllowedDb) low = middle + 1;
    else high = middle;
  }
  return Math.max(0.5, low * STEP);
}
