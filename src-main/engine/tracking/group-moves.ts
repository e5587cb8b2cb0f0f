import { familySupport, type FamilySupport, type GroupMove } from './family-support.ts';
import { homeGroups, moveCandidates, type MoveSettings } from './move-candidates.ts';
import { MoveScratch } from './move-scratch.ts';
import type { OrderedLines } from './ordered-lines.ts';

/** Log odds above which a movement is believed: e^−2, one chance in seven. A single line in a sparse spectrum reaches it. */
const BELIEVED = 2;

/** Share of a family's images that a better supported family has, above which it is judged again; a choice of this tool. */
const CONTESTED = 0.3;

/** For each group of `from` the movement that most of its lines agree on, or null where none is better supported than accident. */
export function groupMoves(
  from: OrderedLines,
  to: OrderedLines,
  largestMoveOf: (name: string | null) => number,
  settings: MoveSettings,
): (GroupMove | null)[] {
  const { groups, count } = from.lines;
  const home = homeGroups(from, to, settings);
  const scratch = new MoveScratch(
    Math.max(0, ...groups.map(({ members }) => members.length)),
    to.lines.count,
    to.lines.groups.length,
  );
  const best = (g: number, at: Int32Array): FamilySupport | null => {
    let found: FamilySupport | null = null;
    scratch.follow(groups[g]!.name, to.lines.groups);
    for (const candidate of moveCandidates(from, to, g, at, largestMoveOf, settings, scratch)) {
      const above = Math.max(BELIEVED, (found?.score ?? 0) + 1e-9);
      found = familySupport(from.lines, to, g, at, candidate, settings, above, scratch) ?? found;
    }
    return found;
  };
  const found = groups.map(({ members }, g) => (members.length === 0 ? null : best(g, home)));

  // Two families cannot both have gone to the same lines: the better supported one has them, the other is judged again without.
  const claimed = home.slice();
  const order = [...groups.keys()].sort((g, h) => (found[h]?.score ?? 0) - (found[g]?.score ?? 0) || g - h);
  const taken = new Uint8Array(to.lines.count);
  for (const g of order) {
    const images = found[g]?.images ?? [];
    const contested = images.filter((j) => taken[j] === 1).length;
    if (count > 0 && contested > CONTESTED * images.length) found[g] = best(g, claimed);
    for (const j of found[g]?.images ?? []) {
      if (taken[j] === 1) continue;
      taken[j] = 1;
      claimed[j] = g;
    }
  }
  return found.map((support) => support?.move ?? null);
}
