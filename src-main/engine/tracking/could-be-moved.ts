import type { SideTrace } from './side-trace.ts';
import { mirrored, type View } from './whereabouts.ts';

/** How much a single line that moved may have grown or fallen to be taken for the same, dB; choices of this tool. */
const MOST_GROWN_DB = 6;
const MOST_FALLEN_DB = 25;

/**
 * Could own line `i`, moved, be the other side's line `j`, or have moved onto it? Asked of an own line without a partner.
 *
 * No, where that is farther than either source may move, where both belong to families whose fundamentals do not fit, or where the
 * family of either would have had to move along and is not there. A line whose family is known to be elsewhere was perhaps given to
 * the wrong family: it is taken for a single one, that a fix may have weakened but that did not grow.
 */
export function couldBeMoved(view: View, i: number, j: number): boolean {
  const { own, other } = view;
  const a = own.lines;
  const b = other.lines;
  const ratio = b.frequencyHz[j]! / a.frequencyHz[i]!;
  const groupA = a.group[i]! < 0 ? null : a.groups[a.group[i]!]!;
  const groupB = b.group[j]! < 0 ? null : b.groups[b.group[j]!]!;
  const largest = Math.min(view.largestMoveOf(groupA?.name ?? null), view.largestMoveOf(groupB?.name ?? null));
  if (Math.abs(ratio - 1) > largest) return false;
  const orphanA = placeIsKnown(view, i);
  const orphanB = view.matchOfOther[j]! >= 0 || placeIsKnown(mirrored(view), j);
  const change = (b.levelDb[j]! - a.levelDb[i]!) * (view.ownIsBefore ? 1 : -1);
  if ((orphanA || orphanB) && (change > MOST_GROWN_DB || change < -MOST_FALLEN_DB)) return false;
  if (groupA !== null && groupB !== null && !orphanA && !orphanB) {
    if (groupA.name !== null && groupB.name !== null && groupA.name !== groupB.name) return false;
    const bothFamilies = groupA.members.length >= 3 && groupB.members.length >= 3;
    const fits = [1, 2, 3, 1 / 2, 1 / 3].some(
      (multiple) => Math.abs((groupB.fundamentalHz / groupA.fundamentalHz) * multiple - ratio) < 1e-3,
    );
    if (bothFamilies && !fits) return false;
  }
  if (!orphanA && familyLeftBehind(view, i, j)) return false;
  return orphanB || !familyLeftBehind(mirrored(view), j, i);
}

/** True where other lines of its group were found on the other side: then the line's own place there is known. */
export function placeIsKnown({ own, match }: View, i: number): boolean {
  const g = own.lines.group[i]!;
  return g >= 0 && own.lines.groups[g]!.members.some((m) => m !== i && match[m]! >= 0);
}

/**
 * If own line `i` had moved onto the other side's line `j`, its family would have moved in the same ratio and changed in level about
 * alike. True where most of the family's lines that should then be seen are not.
 */
export function familyLeftBehind(view: View, i: number, j: number): boolean {
  const { own, other } = view;
  const a = own.lines;
  const b = other.lines;
  if (a.group[i]! < 0) return false;
  const members = a.groups[a.group[i]!]!.members;
  const ratio = b.frequencyHz[j]! / a.frequencyHz[i]!;
  const change = b.levelDb[j]! - a.levelDb[i]!;
  let missing = 0;
  let present = 0;
  for (const m of members) {
    if (m === i) continue;
    const target = a.frequencyHz[m]! * ratio;
    const relative = b.sigmaHz[j]! / b.frequencyHz[j]!;
    const tolerance =
      4 * Math.hypot(a.sigmaHz[m]!, relative * target, view.settings.stableMove * target) +
      0.5 * Math.max(a.resolutionHz[m]!, b.resolutionHz[j]!);
    const seen = other.traces.some((trace) => {
      const { spurs } = trace.triaged.triage;
      const k = firstSpurAtOrAbove(trace, target - tolerance);
      return k < spurs.length && spurs[k]!.frequencyHz <= target + tolerance;
    });
    if (seen) {
      present++;
      continue;
    }
    if (a.levelDb[m]! + change > b.seenFromDb(target)) missing++;
  }
  return missing >= 2 && missing > present;
}

function firstSpurAtOrAbove(trace: SideTrace, targetHz: number): number {
  const { spurs } = trace.triaged.triage;
  let low = 0;
  let high = spurs.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (spurs[middle]!.frequencyHz < targetHz) low = middle + 1;
    else high = middle;
  }
  return low;
}
