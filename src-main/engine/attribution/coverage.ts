import type { LineTable } from './line-table.ts';
import { lowerBound } from '../numeric/lower-bound.ts';

/** How crowded the spectrum is with lines that nothing explains yet: the basis of every statement of chance. */
export interface Coverage {
  /** Lines per Hz near `frequencyHz`. */
  densityAt(frequencyHz: number): number;
  /**
   * Probability that a place lies within the match window of at least one line; the place itself known to ± `placeSigmaHz`,
   * which widens every window.
   */
  probabilityAt(frequencyHz: number, placeSigmaHz?: number): number;
}

/** Lines on either side that make the local density: enough for ±20 %, few enough to follow a crowded band. */
const NEIGHBOURS = 20;

/**
 * Local density of active lines under the null hypothesis that they lie at random.
 *
 * At each place the nearest 2 × 20 active lines and the stretch they span give the density λ; their match windows
 * (±matchSigma·σ) cover the share 1 − exp(−Σ 2w / stretch). The stretch never reaches outside the span.
 * Source: chance coincidence p = 1 − exp(−2wλ) for lines at random places (elementary Poisson statistics).
 */
export function measureCoverage(
  lines: LineTable,
  active: Uint8Array,
  matchSigma: number,
  spanLowHz: number,
  spanHighHz: number,
): Coverage {
  let count = 0;
  for (let i = 0; i < lines.count; i++) count += active[i]!;
  const frequencyHz = new Float64Array(count);
  const windowSum = new Float64Array(count + 1); // prefix sums of 2w
  for (let i = 0, j = 0; i < lines.count; i++) {
    if (active[i] === 0) continue;
    frequencyHz[j] = lines.frequencyHz[i]!;
    windowSum[j + 1] = windowSum[j]! + 2 * matchSigma * lines.sigmaHz[i]!;
    j++;
  }
  let middle = 0;
  let askedHz = NaN;
  let first = 0;
  let last = 0;
  let stretchHz = NaN;
  /** The lines around a place and the stretch that belongs to them: n lines end to end are n − 1 gaps. */
  const lookAt = (x: number): void => {
    if (x === askedHz) return; // density and probability are asked for one after the other
    // harmonics are asked for in their order: the next place is rarely far
    if (x < askedHz || Number.isNaN(askedHz)) middle = lowerBound(frequencyHz, x);
    else while (middle < count && frequencyHz[middle]! < x) middle++;
    askedHz = x;
    first = Math.max(0, middle - NEIGHBOURS);
    last = Math.min(count, middle + NEIGHBOURS);
    const fromLine = middle - NEIGHBOURS > 0;
    const toLine = middle + NEIGHBOURS < count;
    const low = fromLine ? frequencyHz[first]! : spanLowHz;
    const high = toLine ? frequencyHz[last - 1]! : spanHighHz;
    const size = last - first;
    const gaps = Math.max(1, size - (fromLine ? 0.5 : 0) - (toLine ? 0.5 : 0));
    stretchHz = Math.max((high - low) * (size / gaps), Number.MIN_VALUE);
  };
  return {
    densityAt(x) {
      lookAt(x);
      return (last - first) / stretchHz;
    },
    probabilityAt(x, placeSigmaHz = 0) {
      lookAt(x);
      const windowsHz = windowSum[last]! - windowSum[first]!;
      const placeHz = (last - first) * 2 * matchSigma * placeSigmaHz;
      return 1 - Math.exp(-Math.sqrt(windowsHz * windowsHz + placeHz * placeHz) / stretchHz);
    },
  };
}
