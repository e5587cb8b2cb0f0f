import type { Band } from '../../src-main/model/band.ts';
import type { SpurRow } from '../state/spur-rows.ts';

export interface BandChannels {
  readonly band: Band;
  readonly originHz: number;
  readonly channelHz: number;
  readonly count: number;
  /** Indices of channels in which a spur exceeds what is allowed. */
  readonly lost: ReadonlySet<number>;
}

/** Channels of every band with a grid and a requirement, and which of them a spur spoils. A spur spoils every channel its width touches. */
export function channelsOf(bands: readonly Band[], rows: readonly SpurRow[]): readonly BandChannels[] {
  return bands.flatMap((band) => {
    if (band.channelHz === null) return [];
    const { channelHz } = band;
    const originHz = band.channelOriginHz ?? band.lowHz;
    const count = Math.max(0, Math.round((band.highHz - originHz) / channelHz));
    const lost = new Set<number>();
    for (const { spur, marginDb, band: own } of rows) {
      if (own !== band || marginDb === null || marginDb >= 0) continue;
      const from = Math.max(0, Math.floor((spur.frequencyHz - spur.widthHz / 2 - originHz) / channelHz));
      const to = Math.min(count - 1, Math.floor((spur.frequencyHz + spur.widthHz / 2 - originHz) / channelHz));
      for (let i = from; i <= to; i++) lost.add(i);
    }
    return [{ band, originHz, channelHz, count, lost }];
  });
}
