import { logPoissonBinomialTail } from '../numeric/binomial-tail.ts';
import { lowerBound } from '../numeric/lower-bound.ts';
import type { FreeLines, Place } from './free-lines.ts';

/** What the free lines say of a set of places. */
export interface Judged<P extends Place> {
  readonly hits: readonly { readonly place: P; readonly line: number }[];
  /** Places that could be seen at all, each standing for itself. */
  readonly places: number;
  /** Natural logarithm of the chance that lines at random hit as many. */
  readonly logTail: number;
}

export interface JudgeOptions<P extends Place> {
  /** Places that stand or fall together have the same: they are one trial, hit where any of them is. Each its own by default. */
  readonly family?: (place: P) => string;
  /** Whether a line at a place could be what is meant; every line by default. A refusal makes hits rarer than the stated chance. */
  readonly mayBe?: (place: P, line: number) => boolean;
}

/** A place that lines at random hit more often than this says nothing and is left out. A choice of this tool. */
const MOST_ACCIDENT = 0.3;
/** Places closer than their windows, and this share of a line's width on top, are one. */
const SAME_WIDTHS = 0.1;

/**
 * Counts how many of the places hold a free line, and how often lines at random would do as well: the tail of independent trials, each
 * with the probability of its own surroundings (elementary Poisson statistics, p = 1 − exp(−2wλ)).
 *
 * Places that cannot be seen are left out; of places closer than their windows only the first counts, so that no line hits twice.
 *
 * @param places in order of preference
 */
export function judgePlaces<P extends Place>(
  lines: FreeLines,
  places: readonly P[],
  options: JudgeOptions<P> = {},
): Judged<P> {
  return judgeNested(lines, places, [places.length], options)[0]!;
}

/** The same for the first `sizes` of the places each; sizes ascending. Places that are left out count towards the size. */
export function judgeNested<P extends Place>(
  lines: FreeLines,
  places: readonly P[],
  sizes: readonly number[],
  { family, mayBe }: JudgeOptions<P> = {},
): Judged<P>[] {
  const keptHz: number[] = [];
  const keptReachHz: number[] = [];
  const trials = new Map<string | number, { miss: number; hit: boolean }>();
  const hits: { place: P; line: number }[] = [];
  const taken = new Set<number>();
  const out: Judged<P>[] = [];
  let kept = 0;
  let widest = 0;
  const close = (): void => {
    const list = [...trials.values()];
    const count = list.filter(({ hit }) => hit).length;
    out.push({
      hits: [...hits],
      places: kept,
      logTail:
        count === 0
          ? 0
          : logPoissonBinomialTail(
              count,
              list.map(({ miss }) => 1 - miss),
            ),
    });
  };
  for (const [i, place] of places.entries()) {
    while (out.length < sizes.length && i >= sizes[out.length]!) close();
    if (out.length === sizes.length) return out;
    if (lines.isCovered(place)) continue;
    const p = lines.accidentAt(place);
    if (p > MOST_ACCIDENT) continue;
    const reachHz = lines.matchSigma * place.sigmaHz + SAME_WIDTHS * lines.lineWidthHz;
    const at = lowerBound(keptHz, place.hz);
    const isTwin = (direction: 1 | -1): boolean => {
      for (let k = direction === 1 ? at : at - 1; k >= 0 && k < keptHz.length; k += direction) {
        const apartHz = Math.abs(keptHz[k]! - place.hz);
        if (apartHz <= reachHz + keptReachHz[k]!) return true;
        if (apartHz > reachHz + widest) return false;
      }
      return false;
    };
    if (isTwin(1) || isTwin(-1)) continue;
    keptHz.splice(at, 0, place.hz);
    keptReachHz.splice(at, 0, reachHz);
    widest = Math.max(widest, reachHz);
    kept++;
    const line = lines.matchAt(place);
    const isHit = line !== -1 && !taken.has(line) && (mayBe === undefined || mayBe(place, line));
    if (isHit) {
      taken.add(line);
      hits.push({ place, line });
    }
    const key = family === undefined ? i : family(place);
    const trial = trials.get(key);
    trials.set(key, { miss: (trial?.miss ?? 1) * (1 - p), hit: (trial?.hit ?? false) || isHit });
  }
  while (out.length < sizes.length) close();
  return out;
}
