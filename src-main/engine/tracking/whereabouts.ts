import { pairSigmaHz, type MoveSettings } from './group-ratio.ts';
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
  const members = own.lines.groups[g]!.members.filter((m) => m !== i && match[m]! >= 0);
  const inFile = members.filter((m) => other.spurInFile[match[m]! * files + file]! >= 0);
  const ratios = (inFile.length > 0 ? inFile : members).map((m) => {
    const j = match[m]!;
    const at = own.lines.frequencyHz[m]!;
    const spur = inFile.length > 0 ? other.spurInFile[j * files + file]! : -1;
    const there = spur < 0 ? other.lines.frequencyHz[j]! : other.traces[file]!.triaged.triage.spurs[spur]!.frequencyHz;
    const sigma = pairSigmaHz(own.lines, m, other.lines, j, at, settings.stableMove) / at;
    return { ratio: there / at, sigma };
  });
  return ratios.length === 0 ? null : agreedRatio(ratios);
}

/** Weighted mean of the ratios that agree with the one in the middle: a line that was matched wrongly must not lead the others astray. */
function agreedRatio(ratios: readonly { ratio: number; sigma: number }[]): { ratio: number; sigma: number } {
  const sorted = [...ratios].sort((x, y) => x.ratio - y.ratio);
  const middle = sorted[sorted.length >> 1]!;
  let weights = 0;
  let sum = 0;
  for (const { ratio, sigma } of ratios) {
    if (Math.abs(ratio - middle.ratio) > REACH * Math.hypot(sigma, middle.sigma)) continue;
    weights += sigma ** -2;
    sum += ratio * sigma ** -2;
  }
  return { ratio: sum / weights, sigma: 1 / Math.sqrt(weights) };
}

function windowAround(centreHz: number, half: number): Window {
  return { lowHz: centreHz - half, highHz: centreHz + half, centreHz };
}

export function resolutionOfTrace(trace: SideTrace): number {
  return Math.max(trace.rbwHz, trace.spacingHz);
}

/** A line that stands where its family is not can only be taken for one of about the same strength; a choice of this tool. */
const ORPHAN_CHANGE_DB = 6;

/**
 * Could own line `i`, moved, be the other side's line `j`? Asked only of two lines that found no partner.
 *
 * No, where that is farther than either source may move, where both belong to families whose fundamentals do not fit, or where the
 * family of either would have had to move along and is not there. A line whose family is known to be elsewhere was perhaps given to
 * the wrong family: it is taken for a single one, of about the same strength.
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
  const orphanB = placeIsKnown(mirrored(view), j);
  if ((orphanA || orphanB) && Math.abs(b.levelDb[j]! - a.levelDb[i]!) > ORPHAN_CHANGE_DB) return false;
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
