import type { BandCost } from '../../model/channel-cost.ts';
import type { BandView } from './band-view.ts';
import { unionOf } from './cell-union.ts';
import { channelOwners, type ChannelOwners, type CombNames } from './channel-owners.ts';
import type { BandLine } from './band-lines.ts';

/** The channels of one band in one state, and who spoils each that is lost. */
export interface CountedBand {
  readonly cost: BandCost;
  readonly weight: number;
  /** Only channels that a line exceeds by the best estimate. */
  readonly lost: readonly ChannelOwners[];
  readonly worst: readonly { readonly owner: string; readonly line: BandLine }[];
  /** By owner, who decided that a line which exceeds is its. */
  readonly decidedBy: ReadonlyMap<string, ReadonlySet<string>>;
}

/**
 * Counts the channels of a band over all captures of one state at one point.
 *
 * A channel is lost to its sources where a line exceeds by the best estimate; `clean`, `spoiled` and `doubtful` count with the doubt.
 */
export function countBand(
  views: readonly BandView[],
  channels: number,
  where: Pick<BandCost, 'stateId' | 'point' | 'band'>,
  weight: number,
  combs: CombNames,
): CountedBand {
  const union = unionOf(views, channels);
  const count = (...states: string[]) => union.filter(({ state }) => states.includes(state)).length;
  const lost: ChannelOwners[] = [];
  const worst = new Map<string, BandLine>();
  const decidedBy = new Map<string, Set<string>>();
  union.forEach(({ state, isCleanAtBest }, i) => {
    if (state !== 'spoiled' && (state !== 'doubtful' || isCleanAtBest)) return;
    const lines = views.flatMap((view) => view.cells[i]!.lines).filter((line) => line.over.best > 0);
    const owners = channelOwners(lines, combs);
    lost.push(owners);
    for (const line of lines)
      for (const owner of channelOwners([line], combs).owners) {
        if (line.over.best > (worst.get(owner)?.over.best ?? -Infinity)) worst.set(owner, line);
        const { decidedBy: by } = line.explanation;
        if (by !== undefined) decidedBy.set(owner, (decidedBy.get(owner) ?? new Set()).add(by));
      }
  });
  const [clean, spoiled, doubtful] = [count('clean'), count('spoiled'), count('doubtful')];
  return {
    cost: {
      ...where,
      channels,
      clean,
      spoiled,
      doubtful,
      unknown: channels - clean - spoiled - doubtful,
      cleanShare: channels === 0 ? null : clean / channels,
    },
    weight,
    lost,
    worst: [...worst].map(([owner, line]) => ({ owner, line })),
    decidedBy,
  };
}
