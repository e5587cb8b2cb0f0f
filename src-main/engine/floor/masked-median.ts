import { runningMedian } from '../numeric/running-median.ts';

/**
 * Running median of the points that are not masked, interpolated over those that are.
 *
 * A second median of what the first leaves over takes out most of the bias of a bent floor (a slope that steepens towards
 * one end, a passband's edge): "twicing" (Tukey 1977, Exploratory Data Analysis, from memory).
 *
 * @param width odd; made smaller where fewer points are left than it holds
 * @returns a value at every point; NaN everywhere when no point is left
 */
export function maskedMedian(levelDb: Float64Array, masked: Uint8Array, width: number): Float64Array {
  const n = levelDb.length;
  let count = 0;
  for (let i = 0; i < n; i++) count += 1 - masked[i]!;
  if (count === 0) return new Float64Array(n).fill(NaN);
  const kept = new Float64Array(count);
  const place = new Int32Array(count);
  for (let i = 0, j = 0; i < n; i++)
    if (masked[i] === 0) {
      kept[j] = levelDb[i]!;
      place[j++] = i;
    }
  const odd = Math.min(width, count % 2 === 1 ? count : count - 1);
  const first = runningMedian(kept, odd, 'shrink');
  // a window that shrinks to one point at the very end would take a line there for floor
  const end = Math.min((count - 1) >> 1, Math.max(5, odd >> 3));
  continueEnds(first, end);
  const rest = new Float64Array(count);
  for (let j = 0; j < count; j++) rest[j] = kept[j] === -Infinity ? -Infinity : kept[j]! - first[j]!;
  // mirrored, not repeated: an end point that is a line must not fill half of the window
  const second = runningMedian(rest, odd, 'reflect');
  for (let j = 0; j < count; j++) if (Number.isFinite(second[j]!)) first[j] = first[j]! + second[j]!;

  const out = new Float64Array(n);
  let j = 0;
  for (let i = 0; i < n; i++) {
    while (j < count - 1 && place[j + 1]! <= i) j++;
    const left = place[j]!;
    if (i <= left || j === count - 1) out[i] = first[j]!;
    else {
      const right = place[j + 1]!;
      out[i] = first[j]! + ((first[j + 1]! - first[j]!) * (i - left)) / (right - left);
    }
  }
  return out;
}

/** Puts a straight line, through the values one and two `end`s inside, in place of the first and last `end` values. */
function continueEnds(values: Float64Array, end: number): void {
  const n = values.length;
  for (const inward of [1, -1]) {
    const at = (k: number): number => (inward === 1 ? k : n - 1 - k);
    const near = values[at(end)]!;
    const far = values[at(Math.min(n - 1, 2 * end))]!;
    const slope = end > 0 && Number.isFinite(near - far) ? (near - far) / end : 0;
    for (let k = 0; k < end; k++) values[at(k)] = near + slope * (end - k);
  }
}
