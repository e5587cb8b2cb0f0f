import type { Burst, Repetition } from '../../model/time-structure.ts';

/** Fewer beginnings than this tell no rate. */
const LEAST_SEEN = 4;
/** Beginnings must lie this near to the even raster, as a share of its period. A choice of this tool: chance gives 0.29. */
const MOST_JITTER = 0.15;
/** More places passed over than this for each one seen is no repetition. A choice of this tool. */
const MOST_SKIPPED_PER_SEEN = 3;

/**
 * The even raster that the beginnings of bursts lie on, where they do.
 *
 * 1. The period starts as the median distance of the closer half of neighbours (skipped places make whole multiples of it). 2. Each
 * beginning gets its place number; 3. a straight line through places and times by least squares gives the period; twice. The rate's
 * uncertainty is that of the slope by the scatter about the line, and by the step that times are known to.
 *
 * @param stepS resolution of the times
 * @returns null for fewer than four bursts, or where they lie no nearer to a raster than chance puts them
 */
export function findRepetition(bursts: readonly Burst[], stepS: number): Repetition | null {
  const starts = bursts.map(({ startS }) => startS);
  if (starts.length < LEAST_SEEN) return null;
  const gaps = starts.slice(1).map((start, i) => start - starts[i]!);
  const sorted = [...gaps].sort((a, b) => a - b);
  let periodS = sorted[sorted.length >> 2]!;
  let places: number[] = [];
  let residualS = Infinity;
  let originS = 0;
  for (let round = 0; round < 3; round++) {
    let place = 0;
    places = [0, ...gaps.map((gap) => (place += Math.max(1, Math.round(gap / periodS))))];
    const fit = lineThrough(places, starts);
    periodS = fit.slope;
    originS = fit.intercept;
    residualS = Math.sqrt(
      starts.reduce((sum, start, i) => sum + (start - originS - periodS * places[i]!) ** 2, 0) / (starts.length - 2),
    );
  }
  const last = places.at(-1)!;
  const skipped = last + 1 - starts.length;
  if (!(periodS > 0) || residualS > MOST_JITTER * periodS || skipped > MOST_SKIPPED_PER_SEEN * starts.length)
    return null;
  const middle = places.reduce((a, b) => a + b, 0) / places.length;
  const square = places.reduce((sum, place) => sum + (place - middle) ** 2, 0);
  const doubtS = Math.hypot(residualS, stepS / Math.sqrt(12));
  const periodSigmaS = doubtS / Math.sqrt(square);
  return {
    rateHz: 1 / periodS,
    rateSigmaHz: periodSigmaS / periodS ** 2,
    jitterS: residualS,
    skipped,
    seen: starts.length,
  };
}

function lineThrough(x: readonly number[], y: readonly number[]): { slope: number; intercept: number } {
  const n = x.length;
  const meanX = x.reduce((a, b) => a + b, 0) / n;
  const meanY = y.reduce((a, b) => a + b, 0) / n;
  let [xy, xx] = [0, 0];
  for (let i = 0; i < n; i++) {
    xy += (x[i]! - meanX) * (y[i]! - meanY);
    xx += (x[i]! - meanX) ** 2;
  }
  return { slope: xy / xx, intercept: meanY - (xy / xx) * meanX };
}
