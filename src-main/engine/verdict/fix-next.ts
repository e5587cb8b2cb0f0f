import type { FixNext, FixStep, SourceCost } from '../../model/channel-cost.ts';
import type { Source } from '../../model/source.ts';
import type { CountedBand } from './band-cost.ts';
import { NOBODY } from './channel-owners.ts';

/**
 * What to fix next, from the lost channels of all bands in one state: each source's own channels first (they come back if it alone is
 * silenced), weighted by the bands; then those it shares. Ours and the support equipment's can be fixed; the host's and the facility's only
 * constrained; what nobody owns must be named first.
 */
export function fixNext(stateId: number, bands: readonly CountedBand[], sources: readonly Source[]): FixNext {
  const names = [...new Set(bands.flatMap(({ lost }) => lost.flatMap(({ owners }) => owners)))];
  const costs = names.map((name) => costOf(name, bands, sources)).sort(dearestFirst);
  const ownedBy = (...owners: readonly string[]) =>
    costs.filter(({ owner }) => owner !== null && owners.includes(owner));
  const ours = ownedBy('ours', 'support');
  return {
    stateId,
    ours,
    constraints: ownedBy('host', 'facility'),
    unnamed: costs.filter(({ owner }) => owner === null),
    together: fixTogether(
      bands,
      ours.map(({ source }) => source!),
    ),
  };
}

function costOf(name: string, bands: readonly CountedBand[], sources: readonly Source[]): SourceCost {
  // two points may protect the same band: it counts at each
  const byBand = new Map<string, { sole: number; shared: number }>();
  let gain = 0;
  let worst: SourceCost['worst'] = null;
  for (const band of bands) {
    const sole = band.lost.filter((channel) => channel.sole === name).length;
    const shared = band.lost.filter((channel) => channel.sole !== name && channel.owners.includes(name)).length;
    const before = byBand.get(band.cost.band) ?? { sole: 0, shared: 0 };
    byBand.set(band.cost.band, { sole: before.sole + sole, shared: before.shared + shared });
    gain += sole * band.weight;
    const line = band.worst.find(({ owner }) => owner === name)?.line;
    if (line !== undefined && line.over.best > (worst?.overAllowedDb ?? -Infinity))
      worst = { captureId: line.captureId, spurIndex: line.spurIndex, overAllowedDb: line.over.best };
  }
  const decidedBy = [...new Set(bands.flatMap((band) => [...(band.decidedBy.get(name) ?? [])]))].sort();
  const all = [...byBand].map(([band, counts]) => ({ band, ...counts }));
  return {
    source: name === NOBODY ? null : name,
    owner: sources.find(({ designator }) => designator === name)?.owner ?? null,
    soleChannels: all.reduce((sum, { sole }) => sum + sole, 0),
    sharedChannels: all.reduce((sum, { shared }) => sum + shared, 0),
    gain,
    byBand: all,
    worst,
    ...(decidedBy.length === 0 ? {} : { decidedBy }),
  };
}

function dearestFirst(a: SourceCost, b: SourceCost): number {
  return (
    b.gain - a.gain ||
    b.soleChannels - a.soleChannels ||
    b.sharedChannels - a.sharedChannels ||
    ((a.source ?? '') < (b.source ?? '') ? -1 : 1)
  );
}

/**
 * The order of fixing several that brings most at each step (greedy: the next is the one that, with those before it silent, gives
 * back the most weight). A channel comes back once all that spoil it are silent; one of several candidates counts like all of them.
 */
export function fixTogether(bands: readonly CountedBand[], names: readonly string[]): readonly FixStep[] {
  let open = bands.flatMap(({ lost, weight }) => lost.map(({ owners }) => ({ owners, weight })));
  const silent = new Set<string>();
  const steps: FixStep[] = [];
  const rest = new Set(names);
  while (rest.size > 0) {
    let best: { name: string; back: typeof open; gain: number } | null = null;
    for (const name of rest) {
      const back = open.filter(({ owners }) => owners.every((owner) => owner === name || silent.has(owner)));
      const gain = back.reduce((sum, { weight }) => sum + weight, 0);
      if (best === null || gain > best.gain) best = { name, back, gain };
    }
    const { name, back, gain } = best!;
    silent.add(name);
    rest.delete(name);
    open = open.filter((channel) => !back.includes(channel));
    steps.push({ source: name, channels: back.length, gain, left: open.length });
  }
  return steps;
}
