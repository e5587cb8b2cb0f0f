import type { Band } from '../../model/band.ts';

/** One cell of a band: a channel of the receiver, or a piece of a band without channels. Both edges belong to it. */
export interface Cell {
  /** Clipped to the band. */
  readonly lowHz: number;
  readonly highHz: number;
  /** Middle of the whole channel, from which its response falls off. */
  readonly middleHz: number;
  /** Width of the whole channel. */
  readonly widthHz: number;
}

/** A share of a channel that is rounding of the table's figures and no width. */
const ROUNDING = 1e-9;
/** A band without a grid is looked at in so many pieces; only the place of what is found gets coarser. A choice of this tool. */
const PIECES = 100;

/**
 * The receiver's channels: an edge at `channelOriginHz` (default: the band's lower end) and every `channelHz` from there, upwards and
 * downwards. A channel that only reaches into the band counts: the band is protected to its ends. A band without a grid is one channel.
 */
export function channelsOf({ lowHz, highHz, channelHz, channelOriginHz }: Band): Cell[] {
  const widthHz = channelHz ?? highHz - lowHz;
  const originHz = channelHz === null ? lowHz : (channelOriginHz ?? lowHz);
  const first = Math.floor((lowHz - originHz) / widthHz + ROUNDING);
  const last = Math.ceil((highHz - originHz) / widthHz - ROUNDING);
  return Array.from({ length: Math.max(1, last - first) }, (_, i) => ({
    lowHz: Math.max(lowHz, originHz + (first + i) * widthHz),
    highHz: Math.min(highHz, originHz + (first + i + 1) * widthHz),
    middleHz: originHz + (first + i + 0.5) * widthHz,
    widthHz,
  }));
}

/** The band in pieces that are judged by themselves: its channels, or a hundred even pieces. */
export function piecesOf(band: Band): Cell[] {
  if (band.channelHz !== null) return channelsOf(band);
  const widthHz = (band.highHz - band.lowHz) / PIECES;
  return Array.from({ length: PIECES }, (_, i) => ({
    lowHz: band.lowHz + i * widthHz,
    highHz: i === PIECES - 1 ? band.highHz : band.lowHz + (i + 1) * widthHz,
    middleHz: band.lowHz + (i + 0.5) * widthHz,
    widthHz,
  }));
}

/** Indices of the first and last cell (ascending, touching each other) that a range of frequencies touches, edges included; null: none. */
export function cellsTouched(cells: readonly Cell[], lowHz: number, highHz: number): readonly [number, number] | null {
  const [firstCell, lastCell] = [cells[0]!, cells.at(-1)!];
  // what a sum of a few rounded products of this size may be wrong by
  const slackHz = 1e-14 * Math.abs(highHz) + ROUNDING * firstCell.widthHz;
  if (highHz < firstCell.lowHz - slackHz || lowHz > lastCell.highHz + slackHz) return null;
  const gridLowHz = firstCell.middleHz - firstCell.widthHz / 2;
  const first = Math.ceil((lowHz - slackHz - gridLowHz) / firstCell.widthHz) - 1;
  const last = Math.floor((highHz + slackHz - gridLowHz) / firstCell.widthHz);
  const within = (i: number) => Math.min(cells.length - 1, Math.max(0, i));
  return [within(first), within(last)];
}
