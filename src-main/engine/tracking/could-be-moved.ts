import type { LineGroup } from './line-set.ts';
import { mirrored, type View } from './whereabouts.ts';

/** How much a single line that moved may have grown or fallen to be taken for the same, dB; choices of this tool. */
const MOST_GROWN_DB = 6;
const MOST_FALLEN_DB = 25;

/** A family: enough lines that they would be missed if they had not moved along. */
const FAMILY = 3;

/**
 * What a line without a partner may have done.
 *
 * `lone`: it moved by itself; `moved-along`: its family is there too, moved in the same ratio; `family`: its family may be there, too
 * weak to be seen; `left-behind`: its family would have had to move along and did not; `elsewhere`: its family was found and is
 * elsewhere, so it was perhaps given to the wrong family.
 */
type Role = 'lone' | 'moved-along' | 'family' | 'left-behind' | 'elsewhere';

/**
 * Could own line `i`, moved, be the other side's line `j`, or have moved onto it? Asked of an own line without a partner.
 *
 * No, where that is farther than either source may move; where both belong to families whose names or fundamentals do not fit; where
 * one source has both as different harmonics; where it grew or fell by more than a fix does to a line that only moved. A line whose
 * family stayed behind may still be what is left of it, if it is about as strong and the other one belongs to nobody.
 */
export function couldBeMoved(view: View, i: number, j: number): boolean {
  const a = view.own.lines;
  const b = view.other.lines;
  const back = mirrored(view);
  const matched = view.matchOfOther[j]! >= 0;
  if (Math.abs(b.frequencyHz[j]! / a.frequencyHz[i]! - 1) > Math.min(reachOf(view, i), matched ? 1 : reachOf(back, j)))
    return false;
  const change = (b.levelDb[j]! - a.levelDb[i]!) * (view.ownIsBefore ? 1 : -1);
  if (change > MOST_GROWN_DB || change < -MOST_FALLEN_DB) return sameFamilyMoved(view, i, j);
  const mine = roleOf(view, i, j);
  const itsOwn = roleOf(back, j, i);
  const its = matched && itsOwn === 'lone' ? 'elsewhere' : itsOwn;
  // Whatever the names say.
  if (mine === 'moved-along' || its === 'moved-along') return true;
  if (mine === 'elsewhere' && its === 'elsewhere')
    return Math.abs(change) <= MOST_GROWN_DB && (matched || !sameSource(view, i, j));
  if (mine === 'left-behind' || its === 'left-behind') {
    const other = mine === 'left-behind' ? its : mine;
    return (other === 'lone' || (matched && other === 'elsewhere')) && Math.abs(change) <= MOST_GROWN_DB;
  }
  return mine !== 'family' || its !== 'family' || familiesFit(view, i, j);
}

/** Only a family that moved and changed as a whole may have changed that much. */
function sameFamilyMoved(view: View, i: number, j: number): boolean {
  // the cheapest question first
  const isFamily = (role: Role) => role === 'family' || role === 'moved-along';
  return familiesFit(view, i, j) && isFamily(roleOf(view, i, j)) && isFamily(roleOf(mirrored(view), j, i));
}

/** Two harmonics of one source, each at its own place, are not one line. */
function sameSource(view: View, i: number, j: number): boolean {
  const a = view.own.lines;
  const b = view.other.lines;
  const name = a.groups[a.group[i]!]?.name ?? null;
  return name !== null && b.groups[b.group[j]!]?.name === name;
}

/** How far a line may have moved: as far as its source may; freely, where its family is elsewhere and the line is perhaps not its. */
function reachOf(view: View, i: number): number {
  const { lines } = view.own;
  const group = lines.groups[lines.group[i]!];
  return view.largestMoveOf(group === undefined ? null : group.name);
}

function roleOf(view: View, i: number, j: number): Role {
  const { lines } = view.own;
  const owners = lines.owners[i]!;
  if (owners.length === 0) return 'lone';
  let elsewhere = false;
  let behind = false;
  for (const g of owners) {
    if (view.moves[g] !== null) elsewhere = true;
    else if (lines.groups[g]!.members.length < FAMILY) return 'lone';
    else {
      const role = roleOfFamily(view, lines.groups[g]!, i, j);
      if (role !== 'left-behind') return role;
      behind = true;
    }
  }
  return elsewhere || !behind ? 'elsewhere' : 'left-behind';
}

function familiesFit(view: View, i: number, j: number): boolean {
  const a = view.own.lines;
  const b = view.other.lines;
  const ratio = b.frequencyHz[j]! / a.frequencyHz[i]!;
  return a.owners[i]!.some((g) =>
    b.owners[j]!.some((h) => {
      const mine = a.groups[g]!;
      const its = b.groups[h]!;
      if (mine.name !== null && its.name !== null) return mine.name === its.name;
      // A nameless comb may have been found at half or twice its fundamental on one side. 1e-3: one fundamental, see combOfCandidate.
      return [1, 2, 3, 1 / 2, 1 / 3].some(
        (multiple) => Math.abs((its.fundamentalHz / mine.fundamentalHz) * multiple - ratio) < 1e-3,
      );
    }),
  );
}

/**
 * If own line `i` had moved onto the other side's line `j`, its family would have moved in the same ratio and changed in level about
 * alike: do most of the family's lines that should then be seen appear?
 */
function roleOfFamily(view: View, { members }: LineGroup, i: number, j: number): Role {
  const { own, other } = view;
  const a = own.lines;
  const b = other.lines;
  const ratio = b.frequencyHz[j]! / a.frequencyHz[i]!;
  const change = b.levelDb[j]! - a.levelDb[i]!;
  const relative = Math.hypot(b.sigmaHz[j]! / b.frequencyHz[j]!, view.settings.stableMove);
  let missing = 0;
  let present = 0;
  for (const m of members) {
    if (m === i) continue;
    const target = a.frequencyHz[m]! * ratio;
    const tolerance =
      4 * Math.hypot(a.sigmaHz[m]!, relative * target) + 0.5 * Math.max(a.resolutionHz[m]!, b.resolutionHz[j]!);
    if (view.nearestOther(target) <= tolerance) present++;
    else if (a.levelDb[m]! + change > b.seenFromDb(target)) missing++;
  }
  if (missing >= 2 && missing > present) return 'left-behind';
  return present >= FAMILY && present > 2 * missing ? 'moved-along' : 'family';
}
