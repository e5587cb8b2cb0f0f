import { studentTwoSided } from '../numeric/student-quantile.ts';
import { bandPower } from './band-power.ts';
import { isEdgeOfRaisedFloor } from './floor-edge.ts';
import { couldBeMoved } from './could-be-moved.ts';
import { lineLimitTable } from './line-limit.ts';
import { whereabouts, type View } from './whereabouts.ts';
import { TraceLimits } from './window-limit.ts';

/** What the whole other side says of a line that was not seen there. */
export interface SideLimit {
  /** Upper limit on the line's power, common unit; null where no file of the side covers it. */
  readonly limitDb: number | null;
  readonly floorDb: number;
  /** Where the limit comes from. */
  readonly atHz: number;
  /** Where the line would be. */
  readonly expectedHz: number;
  /** A line of the other side, without a partner, that may be this one, moved; −1 where none. */
  readonly mayBe: number;
  readonly uncoveredWhy: string | null;
}

/** Where to look for a line that was not seen: everywhere it may have moved, or only at the places that are likeliest. */
export type Reach = 'far' | 'near';

/**
 * Upper limits on lines of one side in the files of the other.
 *
 * Each file gives a limit of its own; the lowest is taken, at a confidence of 1 − (1 − c)/files for each, so that it holds at c
 * (Bonferroni). A line of any file that may be the one sought, moved, lifts the limit to its own level.
 */
export class SideLimits {
  readonly #view: View;
  readonly #limits: readonly TraceLimits[];
  readonly #z: number;
  /** Per file the spurs that are lines: passed over where a line may have moved. Humps hide, so they are not. */
  readonly #lines: readonly Uint8Array[];
  /** Lines of the other side that hold power no own line accounts for. */
  readonly #unclaimed: readonly number[];

  /** `limitTable` gives `lineLimitTable` of a number of averages and a confidence. */
  constructor(
    view: View,
    confidence: number,
    limitTable: (averages: number, confidence: number) => (overNoiseDb: number) => number = lineLimitTable,
  ) {
    const { other, matchOfOther } = view;
    const each = 1 - (1 - confidence) / other.traces.length;
    this.#view = view;
    const tables = new Map<number, (overNoiseDb: number) => number>();
    const tableFor = (averages: number) => {
      const table = tables.get(averages) ?? limitTable(averages, each);
      tables.set(averages, table);
      return table;
    };
    this.#limits = other.traces.map((trace) => new TraceLimits(trace, each, tableFor));
    this.#z = studentTwoSided(2 * (1 - each), Infinity);
    this.#lines = other.traces.map(({ triaged }) =>
      Uint8Array.from(triaged.triage.spurs, (spur) => (spur.shape === 'line' ? 1 : 0)),
    );
    const joined = joinedLines(view);
    this.#unclaimed = Array.from(matchOfOther.keys()).filter(
      (j) => (matchOfOther[j]! < 0 && !isEdgeOfRaisedFloor(other, j, view.own)) || joined.has(j),
    );
  }

  /** The limit on own line `i`. */
  of(i: number, reach: Reach): SideLimit {
    const { own, other } = this.#view;
    const hump = own.spurs[i]!.shape === 'hump';
    let best: SideLimit | null = null;
    let uncovered: SideLimit | null = null;
    other.traces.forEach((_, file) => {
      const here = hump ? this.#ofHump(i, file) : this.#ofLine(i, file, reach);
      if (here.limitDb === null) uncovered ??= here;
      else if (best === null || here.limitDb < best.limitDb!) best = here;
    });
    if (best === null) return uncovered!;
    const mayBe = this.#strongestCandidate(i);
    const found: SideLimit = best;
    if (mayBe < 0) return found;
    const { levelDb, frequencyHz } = other.lines;
    return { ...found, mayBe, limitDb: Math.max(found.limitDb!, levelDb[mayBe]!), atHz: frequencyHz[mayBe]! };
  }

  #ofLine(i: number, file: number, reach: Reach): SideLimit {
    const { near, needed, far } = whereabouts(this.#view, i, file);
    const limits = this.#limits[file]!;
    const places = near.map((window) => limits.within(window, null));
    const { floorDb } = places[0]!;
    const expectedHz = near[0]!.centreHz;
    const notCovered = places.slice(0, needed).find((place) => place.limitDb === null);
    if (notCovered !== undefined)
      return { limitDb: null, floorDb, atHz: expectedHz, expectedHz, mayBe: -1, uncoveredWhy: notCovered.uncoveredWhy };
    if (far !== null && reach === 'far') places.push(limits.within(far, this.#lines[file]!));
    let limitDb = -Infinity;
    let atHz = expectedHz;
    for (const place of places)
      if (place.limitDb !== null && place.limitDb > limitDb) ({ limitDb, atHz } = { ...place, limitDb: place.limitDb });
    return { limitDb, floorDb, atHz, expectedHz, mayBe: -1, uncoveredWhy: null };
  }

  /** The strongest line of the other side that may be own line `i`, moved; −1 where none. */
  #strongestCandidate(i: number): number {
    const { own, other, largestMoveOf } = this.#view;
    const reach = own.lines.frequencyHz[i]! * largestMoveOf(null);
    let strongest = -1;
    for (const j of this.#unclaimed) {
      if (Math.abs(other.lines.frequencyHz[j]! - own.lines.frequencyHz[i]!) > reach) continue;
      if (strongest >= 0 && other.lines.levelDb[j]! <= other.lines.levelDb[strongest]!) continue;
      if (couldBeMoved(this.#view, i, j)) strongest = j;
    }
    return strongest;
  }

  /** A hump: its power integrated over its own width at the place where it should be. */
  #ofHump(i: number, file: number): SideLimit {
    const { own, other } = this.#view;
    const trace = other.traces[file]!;
    const near = whereabouts(this.#view, i, file).near[0]!;
    const spur = own.spurs[i]!;
    const ownTrace = own.traces[spur.fileIndex]!;
    const expectedHz = near.centreHz;
    const ratio = expectedHz / spur.frequencyHz;
    const lowHz = ownTrace.frequencyHz[spur.firstIndex]! * ratio;
    const highHz = ownTrace.frequencyHz[spur.lastIndex]! * ratio;
    const nearest = this.#limits[file]!.within(near, null);
    const base = { floorDb: nearest.floorDb, atHz: expectedHz, expectedHz, mayBe: -1 };
    const uncovered = (uncoveredWhy: string | null) => ({ ...base, limitDb: null, uncoveredWhy });
    if (nearest.limitDb === null) return uncovered(nearest.uncoveredWhy);
    if (lowHz < trace.frequencyHz[0]! || highHz > trace.frequencyHz[trace.frequencyHz.length - 1]!)
      return uncovered('does not span its whole width');
    const inBand = bandPower(trace, lowHz, highHz, null);
    if (inBand.blankShare > 0.1) return uncovered('is blank there');
    const limitDb = 10 * Math.log10(Math.max(0, inBand.power) + this.#z * inBand.sigma);
    return { ...base, limitDb, uncoveredWhy: null };
  }
}

/** A line that grew by so much more than its family holds more than itself; a choice of this tool. */
const JOINED_DB = 6;

/** Lines of the other side that stand far higher, against their partner, than the rest of its family: another line may have moved onto them. */
function joinedLines({ own, other, match }: View): Set<number> {
  const changeOf = (i: number) => other.lines.levelDb[match[i]!]! - own.lines.levelDb[i]!;
  const matched = Array.from(match.keys()).filter((i) => match[i]! >= 0);
  const usualOwn = usualChanges(own.lines.groups.length, matched, (i) => own.lines.group[i]!, changeOf);
  const usualOther = usualChanges(other.lines.groups.length, matched, (i) => other.lines.group[match[i]!]!, changeOf);
  const joined = new Set<number>();
  for (const i of matched) {
    const usual = usualOwn[own.lines.group[i]!] ?? usualOther[other.lines.group[match[i]!]!] ?? 0;
    if (changeOf(i) - usual > JOINED_DB) joined.add(match[i]!);
  }
  return joined;
}

/** Median change of each group's matched lines; null for groups with fewer than three. */
function usualChanges(
  groups: number,
  matched: readonly number[],
  groupOf: (line: number) => number,
  changeOf: (line: number) => number,
): (number | null)[] {
  const changes = Array.from({ length: groups }, (): number[] => []);
  for (const i of matched) if (groupOf(i) >= 0) changes[groupOf(i)]!.push(changeOf(i));
  return changes.map((values) => (values.length < 3 ? null : values.sort((a, b) => a - b)[values.length >> 1]!));
}
