import { familySupport, type GroupMove } from './family-support.ts';
import { homeGroups, moveCandidates, type MoveSettings } from './move-candidates.ts';
import type { OrderedLines } from './ordered-lines.ts';

/** Log odds above which a movement is believed: e^−2, one chance in seven. A single line in a sparse spectrum reaches it. */
const BELIEVED = 2;

/** For each group of `from` the movement that most of its lines agree on, or null where none is better supported than accident. */
export function groupMoves(
  from: OrderedLines,
  to: OrderedLines,
  largestMoveOf: (name: string | null) => number,
  settings: MoveSettings,
): (GroupMove | null)[] {
  const home = homeGroups(from, to, settings);
  return from.lines.groups.map(({ members }, g) => {
    if (members.length === 0) return null;
    let best: GroupMove | null = null;
    let bestScore = 0;
    for (const candidate of moveCandidates(from, to, g, home, largestMoveOf, settings)) {
      const support = familySupport(from.lines, to, g, home, candidate, settings);
      if (support === null || support.score - candidate.handicap <= bestScore + 1e-9) continue;
      best = support.move;
      bestScore = support.score - candidate.handicap;
    }
    return bestScore > BELIEVED ? best : null;
  });
}
