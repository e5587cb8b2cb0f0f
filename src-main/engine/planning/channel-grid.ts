import type { Band } from '../../model/band.ts';

/** The channels of one band as a run of bits. */
export interface GridBand {
  readonly band: Band;
  /** Bit of the band's first channel; a band begins at a word of its own, so that a word has one weight. */
  readonly firstBit: number;
  readonly channels: number;
  /** Lower edge of the first channel of the grid that reaches into the band. */
  readonly gridLowHz: number;
  readonly channelHz: number;
}

/** All channels of all bands, side by side as bits of one set. */
export interface ChannelGrid {
  readonly bands: readonly GridBand[];
  readonly words: number;
  readonly channels: number;
  readonly weightOfWord: Float64Array;
}

/** A share of a channel that is rounding of a frequency and no width. */
const ROUNDING = 1e-9;

/**
 * Lays out the channels of the bands.
 *
 * `channelOriginHz` is an edge between two channels, by default the band's lower end; the grid goes on from there to both sides. A
 * channel that only reaches into the band counts: the band is protected to its ends. A band without channels is one channel.
 *
 * @param bands sound ones: checked by checkPlanInput
 */
export function channelGrid(bands: readonly Band[]): ChannelGrid {
  const laid: GridBand[] = [];
  const weights: number[] = [];
  let channelsInAll = 0;
  for (const band of bands) {
    const channelHz = band.channelHz ?? band.highHz - band.lowHz;
    const originHz = band.channelOriginHz ?? band.lowHz;
    const below = Math.floor((band.lowHz - originHz) / channelHz + ROUNDING);
    const gridLowHz = originHz + below * channelHz;
    const channels = Math.max(1, Math.ceil((band.highHz - gridLowHz) / channelHz - ROUNDING));
    laid.push({ band, firstBit: weights.length * 32, channels, gridLowHz, channelHz });
    for (let i = 0; i < Math.ceil(channels / 32); i++) weights.push(band.weight);
    channelsInAll += channels;
  }
  return { bands: laid, words: weights.length, channels: channelsInAll, weightOfWord: Float64Array.from(weights) };
}

/**
 * First and last channel, counted within the band, that a range of frequencies touches; null where it touches none.
 *
 * Channels and the range have their ends included: a line on the edge between two channels spoils both, one on the end of the band
 * spoils the channel inside.
 */
export function channelsTouched(at: GridBand, lowHz: number, highHz: number): readonly [number, number] | null {
  // what a sum of a few rounded products of this size may be wrong by
  const slackHz = 1e-14 * Math.abs(highHz) + ROUNDING * at.channelHz;
  if (highHz < at.band.lowHz - slackHz || lowHz > at.band.highHz + slackHz) return null;
  const first = Math.ceil((lowHz - slackHz - at.gridLowHz) / at.channelHz) - 1;
  const last = Math.floor((highHz + slackHz - at.gridLowHz) / at.channelHz);
  return [Math.min(Math.max(first, 0), at.channels - 1), Math.max(0, Math.min(last, at.channels - 1))];
}
