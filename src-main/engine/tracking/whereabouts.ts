import type { MoveSettings } from './group-ratio.ts';
import type { Side } from './side.ts';
import type { SideTrace } from './side-trace.ts';
import type { Window } from './window-limit.ts';

/** Both sides seen from one of them: lines of `own` are looked for in the files of `other`. */
export interface View {
  readonly own: Side;
  readonly other: Side;
  /** For each own line the other side's line that it is, −1 where none; and the other way round. */
  readonly match: Int32Array;
  readonly matchOfOther: Int32Array;
  readonly largestMoveOf: (name: string | null) => number;
  readonly settings: MoveSettings;
}

/** Where a line of one side must lie in a file of the other. */
export interface Whereabouts {
  /** Around the most likely place, nothing passed over. */
  readonly near: Window;
  /** All that its source may have moved, lines known to be something else passed over; null where its group says where it is. */
  readonly far: Window | null;
  /** True where other lines of its group tell the place. */
  readonly predicted: boolean;
}

/** Half widths of windows, in standard deviations: 99.7 % of Gaussian errors. */
const REACH = 3;

/**
 * Where own line `i` must lie in file `file` of the other side.
 *
 * Other lines of its group that were found there give the movement of the group in that very file, so a source that wanders
 * between sweeps is followed. Without any, the line may be as far off as its source may have moved.
 */
export function whereabouts(view: View, i: number, file: number): Whereabouts {
  const { own, other, settings } = view;
  const { lines } = own;
  const at = lines.frequencyHz[i]!;
  const resolution = Math.max(lines.resolutionHz[i]!, resolutionOfTrace(other.traces[file]!));
  const move = groupMoveIn(view, i, file);
  if (move !== null) {
    const centreHz = at * move.ratio;
    const half = REACH * Math.hypot(lines.sigmaHz[i]!, move.sigma * at, settings.stableMove * at) + 0.25 * resolution;
    return { near: windowAround(centreHz, half), far: null, predicted: true };
  }
  const near = windowAround(at, REACH * Math.hypot(lines.sigmaHz[i]!, settings.stableMove * at) + 0.25 * resolution);
  const name = lines.group[i]! < 0 ? null : lines.groups[lines.group[i]!]!.name;
  const half = at * view.largestMoveOf(name);
  const far = { lowHz: at - half, highHz: at + half, centreHz: at };
  return { near, far: half > near.highHz - at ? far : null, predicted: false };
}

/** Movement of the line's group in one file of the other side, from its matched members there. */
function groupMoveIn(view: View, i: number, file: number): { ratio: number; sigma: number } | null {
  const { own, other, match, settings } = view;
  const g = own.lines.group[i]!;
  if (g < 0) return null;
  const files = other.traces.length;
  let weights = 0;
  let sum = 0;
  let merged = 0;
  let mergedWeights = 0;
  for (const m of own.lines.groups[g]!.members) {
    const j = match[m]!;
    if (m === i || j < 0) continue;
    const at = own.lines.frequencyHz[m]!;
    const weight = (Math.hypot(own.lines.sigmaHz[m]!, other.lines.sigmaHz[j]!) / at) ** -2;
    mergedWeights += weight;
    merged += (weight * other.lines.frequencyHz[j]!) / at;
    const spur = other.spurInFile[j * files + file]!;
    if (spur < 0) continue;
    weights += weight;
    sum += (weight * other.traces[file]!.triaged.triage.spurs[spur]!.frequencyHz) / at;
  }
  if (weights > 0) return { ratio: sum / weights, sigma: Math.max(1 / Math.sqrt(weights), settings.stableMove) };
  if (mergedWeights > 0) {
    return { ratio: merged / mergedWeights, sigma: Math.max(1 / Math.sqrt(mergedWeights), settings.stableMove) };
  }
  return null;
}

function windowAround(centreHz: number, half: number): Window {
  return { lowHz: centreHz - half, highHz: centreHz + half, centreHz };
}

export function resolutionOfTrace(trace: SideTrace): number {
  return Math.max(trace.rbwHz, trace.spacingHz);
}

/**
 * Could own line `i`, moved, be the other side's line `j`? Asked only of two lines that found no partner.
 *
 * No, where the place of its group is known and is elsewhere; where both belong to families whose fundamentals do not fit; or where
 * the family of either would have had to move along and is not there (`familyLeftBehind`).
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
  if (groupA !== null && groupB !== null) {
    if (groupA.name !== null && groupB.name !== null && groupA.name !== groupB.name) return false;
    const bothFamilies = groupA.members.length >= 3 && groupB.members.length >= 3;
    const fits = [1, 2, 3, 1 / 2, 1 / 3].some(
      (multiple) => Math.abs((groupB.fundamentalHz / groupA.fundamentalHz) * multiple - ratio) < 1e-3,
    );
    if (bothFamilies && !fits) return false;
  }
  if (placeIsKnown(view, i) || placeIsKnown(mirrored(view), j)) return false;
  return !familyLeftBehind(view, i, j) && !familyLeftBehind(mirrored(view), j, i);
}

/** True where other lines of its group were found on the other side: then the line's own place there is known. */
function placeIsKnown({ own, match }: View, i: number): boolean {
  const g = own.lines.group[i]!;
  return g >= 0 && own.lines.groups[g]!.members.some((m) => m !== i && match[m]! >= 0);
}

/** The same two sides seen from the other one. */
export function mirrored(view: View): View {
  return { ...view, own: view.other, other: view.own, match: view.matchOfOther, matchOfOther: view.match };
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
  const change = Math.min(0, b.levelDb[j]! - a.levelDb[i]!);
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
