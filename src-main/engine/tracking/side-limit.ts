import { studentTwoSided } from '../numeric/student-quantile.ts';
import { bandPower } from './band-power.ts';
import { couldBeMoved } from './could-be-moved.ts';
import { whereabouts, type View } from './whereabouts.ts';
import { TraceLimits, type Window } from './window-limit.ts';

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

/**
 * Upper limits on lines of one side in the files of the other.
 *
 * Each file gives a limit of its own; the lowest is taken, at a confidence of 1 − (1 − c)/files for each, so that it holds at c
 * (Bonferroni).
 */
export class SideLimits {
  readonly #view: View;
  readonly #limits: readonly TraceLimits[];
  readonly #z: number;
  /** Per file the spurs that are certainly something else for every own line: matched to another one. Humps hide, so never passed over. */
  readonly #matched: readonly Uint8Array[];
  /** Lines of the other side that hold power no own line accounts for. */
  readonly #unclaimed: readonly number[];

  constructor(view: View, confidence: number) {
    const { other, matchOfOther } = view;
    const files = other.traces.length;
    const each = 1 - (1 - confidence) / files;
    this.#view = view;
    this.#limits = other.traces.map((trace) => new TraceLimits(trace, each));
    this.#z = studentTwoSided(2 * (1 - each), Infinity);
    const lineOfSpur = other.traces.map((trace) => new Int32Array(trace.triaged.triage.spurs.length).fill(-1));
    for (let j = 0; j < other.lines.count; j++)
      for (let file = 0; file < files; file++) {
        const spur = other.spurInFile[j * files + file]!;
        if (spur >= 0) lineOfSpur[file]![spur] = j;
      }
    const joined = joinedLines(view);
    this.#matched = lineOfSpur.map((lines, file) =>
      Uint8Array.from(lines, (j, spur) =>
        j >= 0 &&
        matchOfOther[j]! >= 0 &&
        !joined.has(j) &&
        other.traces[file]!.triaged.triage.spurs[spur]!.shape === 'line'
          ? 1
          : 0,
      ),
    );
    this.#unclaimed = Array.from({ length: other.lines.count }, (_, j) => j).filter(
      (j) => matchOfOther[j]! < 0 || joined.has(j),
    );
  }

  /** The limit on own line `i`. */
  of(i: number): SideLimit {
    const { own, other } = this.#view;
    const hump = own.spurs[i]!.shape === 'hump';
    let best: SideLimit | null = null;
    let uncovered: SideLimit | null = null;
    other.traces.forEach((_, file) => {
      const here = hump ? this.#ofHump(i, file) : this.#ofLine(i, file);
      if (here.limitDb === null) uncovered ??= here;
      else if (best === null || here.limitDb < best.limitDb!) best = here;
    });
    return (best ?? uncovered)!;
  }

  #ofLine(i: number, file: number): SideLimit {
    const { near, needed, far } = whereabouts(this.#view, i, file);
    const limits = this.#limits[file]!;
    const places = near.map((window) => limits.within(window, null));
    const { floorDb } = places[0]!;
    const expectedHz = near[0]!.centreHz;
    const notCovered = places.slice(0, needed).find((place) => place.limitDb === null);
    if (notCovered !== undefined)
      return { limitDb: null, floorDb, atHz: expectedHz, expectedHz, mayBe: -1, uncoveredWhy: notCovered.uncoveredWhy };
    let limitDb = -Infinity;
    let atHz = expectedHz;
    for (const place of places)
      if (place.limitDb !== null && place.limitDb > limitDb) ({ limitDb, atHz } = { ...place, limitDb: place.limitDb });

    const { skip, mayBe } = this.#skipFor(i, file, far);
    if (far !== null) {
      const around = limits.within(far, skip);
      if (around.limitDb !== null && around.limitDb > limitDb)
        ({ limitDb, atHz } = { ...around, limitDb: around.limitDb });
    }
    if (mayBe >= 0) {
      const { lines } = this.#view.other;
      if (lines.levelDb[mayBe]! > limitDb) limitDb = lines.levelDb[mayBe]!;
      atHz = lines.frequencyHz[mayBe]!;
    }
    return { limitDb, floorDb, atHz, expectedHz, mayBe, uncoveredWhy: null };
  }

  /** Spurs of a file that cannot be own line `i`, and the strongest line that can. */
  #skipFor(i: number, file: number, far: Window | null): { skip: Uint8Array; mayBe: number } {
    const { own, other } = this.#view;
    // Where its family says where it is, it may still have been given to the wrong family and be a single line that moved.
    const at0 = own.lines.frequencyHz[i]!;
    const reach = at0 * this.#view.largestMoveOf(null);
    const { lowHz, highHz } = far ?? { lowHz: at0 - reach, highHz: at0 + reach };
    const files = other.traces.length;
    const skip = this.#matched[file]!.slice();
    let mayBe = -1;
    for (const j of this.#unclaimed) {
      const at = other.lines.frequencyHz[j]!;
      const spur = other.spurInFile[j * files + file]!;
      if (spur < 0 || at < lowHz || at > highHz) continue;
      if (!couldBeMoved(this.#view, i, j)) {
        skip[spur] = 1;
      } else if (mayBe < 0 || other.lines.levelDb[j]! > other.lines.levelDb[mayBe]!) {
        mayBe = j;
      }
    }
    return { skip, mayBe };
  }

  /** A hump: its power integrated over its own width at the place where it should be, and any unclaimed line it may have become. */
  #ofHump(i: number, file: number): SideLimit {
    const { own, other } = this.#view;
    const trace = other.traces[file]!;
    const { near, far } = whereabouts(this.#view, i, file);
    const spur = own.spurs[i]!;
    const ownTrace = own.traces[spur.fileIndex]!;
    const expectedHz = near[0]!.centreHz;
    const ratio = expectedHz / spur.frequencyHz;
    const lowHz = ownTrace.frequencyHz[spur.firstIndex]! * ratio;
    const highHz = ownTrace.frequencyHz[spur.lastIndex]! * ratio;
    const nearest = this.#limits[file]!.within(near[0]!, null);
    const base = { floorDb: nearest.floorDb, atHz: expectedHz, expectedHz };
    const uncovered = (uncoveredWhy: string | null) => ({ ...base, limitDb: null, mayBe: -1, uncoveredWhy });
    if (nearest.limitDb === null) return uncovered(nearest.uncoveredWhy);
    if (lowHz < trace.frequencyHz[0]! || highHz > trace.frequencyHz[trace.frequencyHz.length - 1]!)
      return uncovered('does not span its whole width');
    const inBand = bandPower(trace, lowHz, highHz, null);
    if (inBand.blankShare > 0.1) return uncovered('is blank there');
    let limitDb = 10 * Math.log10(Math.max(0, inBand.power) + this.#z * inBand.sigma);
    const { mayBe } = this.#skipFor(i, file, far);
    if (mayBe >= 0) limitDb = Math.max(limitDb, other.lines.levelDb[mayBe]!);
    return { ...base, limitDb, mayBe, uncoveredWhy: null };
  }
}

/** A line that grew by so much more than its family holds more than itself; a choice of this tool. */
const JOINED_DB = 6;

/** Lines of the other side that stand far higher, against their partner, than the rest of its family: another line may have moved onto them. */
function joinedLines({ own, other, match }: View): Set<number> {
  const changes: number[][] = own.lines.groups.map(() => []);
  const changeOf = (i: number) => other.lines.levelDb[match[i]!]! - own.lines.levelDb[i]!;
  for (let i = 0; i < own.lines.count; i++)
    if (match[i]! >= 0 && own.lines.group[i]! >= 0) changes[own.lines.group[i]!]!.push(changeOf(i));
  const usual = changes.map((values) => (values.length < 3 ? 0 : values.sort((a, b) => a - b)[values.length >> 1]!));
  const joined = new Set<number>();
  for (let i = 0; i < own.lines.count; i++)
    if (match[i]! >= 0 && changeOf(i) - (usual[own.lines.group[i]!] ?? 0) > JOINED_DB) joined.add(match[i]!);
  return joined;
}
