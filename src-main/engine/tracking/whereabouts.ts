import type { GroupMove } from './family-support.ts';
import type { MoveSettings } from './move-candidates.ts';
import { ordered, pairSigmaHz } from './ordered-lines.ts';
import type { LineSet } from './line-set.ts';
import type { Side } from './side.ts';
import type { SideTrace } from './side-trace.ts';
import type { Window } from './window-limit.ts';
import { lowerBound } from '../numeric/lower-bound.ts';

/** Both sides seen from one of them: lines of `own` are looked for in the files of `other`. */
export interface View {
  readonly ownIsBefore: boolean;
  readonly own: Side;
  readonly other: Side;
  /** For each own line the other side's line that it is, −1 where none; and the other way round. */
  readonly match: Int32Array;
  readonly matchOfOther: Int32Array;
  /** What the groups of either side did as families; null where they were not found again as such. */
  readonly moves: readonly (GroupMove | null)[];
  readonly movesOfOther: readonly (GroupMove | null)[];
  /** Distance from a frequency to the nearest line of the other and of the own side. */
  readonly nearestOther: (frequencyHz: number) => number;
  readonly nearestOwn: (frequencyHz: number) => number;
  readonly largestMoveOf: (name: string | null) => number;
  readonly settings: MoveSettings;
}

/** Where a line of one side must lie in a file of the other. */
export interface Whereabouts {
  /** Around each likely place, the likeliest first, nothing passed over. The first ones must be covered for anything to be proven. */
  readonly near: readonly Window[];
  /** How many of `near` must be covered. */
  readonly needed: number;
  /** All that its source may have moved, lines known to be something else passed over; null where its group says where it is. */
  readonly far: Window | null;
}

/** Half widths of windows, in standard deviations: 99.7 % of Gaussian errors. */
const REACH = 3;

/**
 * Where own line `i` must lie in file `file` of the other side.
 *
 * Other lines of its group that were found there give the movement of the group in that very file, so a source that wanders
 * between sweeps is followed; a line that several groups share may have gone with any of them. Without such lines it may be as
 * far off as its source may have moved. The place where it was is looked at in any case: it may have been given to the wrong group.
 */
export function whereabouts(view: View, i: number, file: number): Whereabouts {
  const { own, other, settings } = view;
  const { lines } = own;
  const at = lines.frequencyHz[i]!;
  const resolution = Math.max(lines.resolutionHz[i]!, resolutionOfTrace(other.traces[file]!));
  const around = (ratio: number, sigma: number) =>
    windowAround(
      at * ratio,
      REACH * Math.hypot(lines.sigmaHz[i]!, sigma * at, settings.stableMove * at) + 0.25 * resolution,
    );
  const unmoved = around(1, 0);
  const moves = lines.owners[i]!.map((g) => groupMoveIn(view, g, i, file)).filter((move) => move !== null);
  const predicted = moves.map(({ ratio, sigma }) => around(ratio, sigma));
  if (moves.length > 0 && moves.length === lines.owners[i]!.length)
    return { near: [...predicted, unmoved], needed: predicted.length, far: null };
  const name = lines.group[i]! < 0 ? null : lines.groups[lines.group[i]!]!.name;
  const half = at * view.largestMoveOf(name);
  return {
    near: [...predicted, unmoved],
    needed: predicted.length + 1,
    far: half > unmoved.highHz - at ? { lowHz: at - half, highHz: at + half, centreHz: at } : null,
  };
}

/** Movement of a group in one file of the other side, from its matched members there but line `i`. */
function groupMoveIn(view: View, g: number, i: number, file: number): { ratio: number; sigma: number } | null {
  const { own, other, match, settings } = view;
  if (view.moves[g] === null) return null;
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

const mirrors = new WeakMap<View, View>();

/** The same two sides seen from the other one; made once, as it is asked for each pair of lines. */
export function mirrored(view: View): View {
  let mirror = mirrors.get(view);
  if (mirror === undefined) {
    mirrors.set(view, (mirror = mirrorOf(view)));
    mirrors.set(mirror, view);
  }
  return mirror;
}

function mirrorOf(view: View): View {
  return {
    ...view,
    ownIsBefore: !view.ownIsBefore,
    own: view.other,
    other: view.own,
    match: view.matchOfOther,
    matchOfOther: view.match,
    moves: view.movesOfOther,
    movesOfOther: view.moves,
    nearestOther: view.nearestOwn,
    nearestOwn: view.nearestOther,
  };
}

/** Distance from a frequency to the nearest line of a set; Infinity where it has none. */
export function distanceToNearest(lines: LineSet): (frequencyHz: number) => number {
  const { sortedHz: sorted } = ordered(lines);
  return (frequencyHz) => {
    const above = lowerBound(sorted, frequencyHz);
    return Math.min(
      above < sorted.length ? sorted[above]! - frequencyHz : Infinity,
      above > 0 ? frequencyHz - sorted[above - 1]! : Infinity,
    );
  };
}
