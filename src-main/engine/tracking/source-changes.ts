import type { SourceChange, Track, TrackStatus } from '../../model/track.ts';
import type { Side } from './side.ts';

/** What each named source did: its fundamental on either side and how its tracks ended. In order of designator. */
export function sourceChanges(before: Side, after: Side, tracks: readonly Track[]): SourceChange[] {
  const names = new Set<string>();
  for (const track of tracks) if (track.source !== null) names.add(track.source);
  for (const side of [before, after])
    for (const group of side.lines.groups) if (group.name !== null) names.add(group.name);
  return [...names].sort().map((source) => {
    const counts: Partial<Record<TrackStatus, number>> = {};
    for (const track of tracks) if (track.source === source) counts[track.status] = (counts[track.status] ?? 0) + 1;
    return {
      source,
      beforeHz: fundamentalOf(before, source),
      afterHz: fundamentalOf(after, source),
      tracks: counts,
    };
  });
}

function fundamentalOf(side: Side, name: string): number | null {
  return side.lines.groups.find((group) => group.name === name)?.fundamentalHz ?? null;
}
