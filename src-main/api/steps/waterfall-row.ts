import type { DrawnTrace } from '../thin-trace.ts';
import { lowerBound } from '../../engine/numeric/lower-bound.ts';

/**
 * The largest level of a trace in each of equal columns between two frequencies, in dB.
 *
 * A point stands for half the way to its neighbours, so that a column without a point of its own shows the nearest one; columns
 * more than half a spacing outside the trace are NaN, and so are columns whose points are blank.
 */
export function waterfallRow(
  { frequencyHz, levelDb, pyramid }: DrawnTrace,
  view: { readonly lowHz: number; readonly highHz: number; readonly columns: number },
): Float32Array {
  const out = new Float32Array(view.columns).fill(NaN);
  const n = frequencyHz.length;
  if (n === 0) return out;
  const widthHz = (view.highHz - view.lowHz) / view.columns;
  const edge = n > 1 ? (frequencyHz[n - 1]! - frequencyHz[0]!) / (n - 1) / 2 : 0;
  let next = lowerBound(frequencyHz, view.lowHz);
  for (let column = 0; column < view.columns; column++) {
    const lowHz = view.lowHz + column * widthHz;
    const highHz = lowHz + widthHz;
    const from = next;
    while (next < n && frequencyHz[next]! < highHz) next++;
    if (next > from) out[column] = pyramid.extremes(from, next).most;
    else {
      const middleHz = (lowHz + highHz) / 2;
      if (middleHz < frequencyHz[0]! - edge || middleHz > frequencyHz[n - 1]! + edge) continue;
      const before = Math.max(0, next - 1);
      const after = Math.min(n - 1, next);
      const nearest = middleHz - frequencyHz[before]! <= frequencyHz[after]! - middleHz ? before : after;
      out[column] = levelDb[nearest]!;
    }
  }
  return out;
}
