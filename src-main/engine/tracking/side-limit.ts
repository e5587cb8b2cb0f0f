import { studentTwoSided } from '../numeric/student-quantile.ts';
import { bandPower } from './band-power.ts';
import { couldBeMoved, whereabouts, type View } from './whereabouts.ts';
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
  readonly predicted: boolean;
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
  readonly #lineOfSpur: readonly Int32Array[];
  readonly #alone: readonly number[];

  constructor(view: View, confidence: number) {
    const { other, matchOfOther } = view;
    const files = other.traces.length;
    const each = 1 - (1 - confidence) / files;
    this.#view = view;
    this.#limits = other.traces.map((trace) => new TraceLimits(trace, each));
    this.#z = studentTwoSided(2 * (1 - each), Infinity);
    this.#lineOfSpur = other.traces.map((trace) => new Int32Array(trace.triaged.triage.spurs.length).fill(-1));
    for (let j = 0; j < other.lines.count; j++)
      for (let file = 0; file < files; file++) {
        const spur = other.spurInFile[j * files + file]!;
        if (spur >= 0) this.#lineOfSpur[file]![spur] = j;
      }
    this.#matched = this.#lineOfSpur.map((lineOfSpur, file) =>
      Uint8Array.from(lineOfSpur, (j, spur) =>
        j >= 0 && matchOfOther[j]! >= 0 && other.traces[file]!.triaged.triage.spurs[spur]!.shape === 'line' ? 1 : 0,
      ),
    );
    this.#alone = Array.from({ length: other.lines.count }, (_, j) => j).filter((j) => matchOfOther[j]! < 0);
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
    const { near, far, predicted } = whereabouts(this.#view, i, file);
    const limits = this.#limits[file]!;
    const here = limits.within(near, null);
    let { limitDb, atHz } = here;
    let mayBe = -1;
    if (limitDb !== null && far === null) {
      // Its family says where it is; but perhaps it was given to the wrong family and is a single line that moved.
      const at = this.#view.own.lines.frequencyHz[i]!;
      const reach = at * this.#view.largestMoveOf(null);
      ({ mayBe } = this.#skipFor(i, file, at - reach, at + reach));
      if (mayBe >= 0) limitDb = Math.max(limitDb, this.#view.other.lines.levelDb[mayBe]!);
    }
    if (limitDb !== null && far !== null) {
      const skip = this.#skipFor(i, file, far.lowHz, far.highHz);
      const around = limits.within(far, skip.skip);
      if (around.limitDb !== null && around.limitDb > limitDb) {
        ({ limitDb, atHz } = around);
        mayBe = skip.mayBe;
      }
    }
    return {
      limitDb,
      floorDb: here.floorDb,
      atHz,
      expectedHz: near.centreHz,
      predicted,
      mayBe,
      uncoveredWhy: here.uncoveredWhy,
    };
  }

  /** Spurs of a file that cannot be own line `i`, and the strongest line that can. */
  #skipFor(i: number, file: number, lowHz: number, highHz: number): { skip: Uint8Array; mayBe: number } {
    const { other } = this.#view;
    const files = other.traces.length;
    const skip = this.#matched[file]!.slice();
    let mayBe = -1;
    for (const j of this.#alone) {
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
    const { near, far, predicted } = whereabouts(this.#view, i, file);
    const spur = own.spurs[i]!;
    const ownTrace = own.traces[spur.fileIndex]!;
    const ratio = near.centreHz / spur.frequencyHz;
    const lowHz = ownTrace.frequencyHz[spur.firstIndex]! * ratio;
    const highHz = ownTrace.frequencyHz[spur.lastIndex]! * ratio;
    const nearest = this.#limits[file]!.within(near, null);
    const base = { floorDb: nearest.floorDb, atHz: near.centreHz, expectedHz: near.centreHz, predicted };
    const n = trace.frequencyHz.length;
    if (nearest.limitDb === null) return { ...base, limitDb: null, mayBe: -1, uncoveredWhy: nearest.uncoveredWhy };
    if (lowHz < trace.frequencyHz[0]! || highHz > trace.frequencyHz[n - 1]!)
      return { ...base, limitDb: null, mayBe: -1, uncoveredWhy: 'does not span its whole width' };
    const inBand = bandPower(trace, lowHz, highHz);
    if (inBand.blankShare > 0.1) return { ...base, limitDb: null, mayBe: -1, uncoveredWhy: 'is blank there' };
    let limitDb = 10 * Math.log10(Math.max(0, inBand.power) + this.#z * inBand.sigma);
    let mayBe = -1;
    if (far !== null) {
      ({ mayBe } = this.#skipFor(i, file, far.lowHz, far.highHz));
      if (mayBe >= 0) limitDb = Math.max(limitDb, other.lines.levelDb[mayBe]!);
    }
    return { ...base, limitDb, mayBe, uncoveredWhy: null };
  }
}
