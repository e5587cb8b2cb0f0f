import { fitLine, type FilterShape, type FitFrame, type SweptShape } from './line-shape.ts';
import type { Peak } from './pick-peaks.ts';

/** What a trace's own lines and its settings say of the resolution filter. */
export interface LearntFilter {
  readonly shape: FilterShape;
  /** Half-power width of an unresolved line. */
  readonly widthHz: number;
  /** Scale of the error taken for the shape; 1 where nothing is known of it. */
  readonly doubt: number;
  /** Width as the lines show it; null where fewer than five are clear enough. */
  readonly measuredHz: number | null;
}

/** Tried in this order. A choice of this tool. */
const DOUBTS = [0.15, 0.3, 0.6, 1, 2, 4];

/**
 * Shape and width of a line from the lines themselves and the stated bandwidth.
 *
 * @param statedHz half-power bandwidth by the settings; null where they are silent
 */
export function learnFilter(
  frequencyHz: Float64Array,
  ratio: Float64Array,
  peaks: readonly Peak[],
  statedHz: number | null,
  spacingHz: number,
  frame: Pick<FitFrame, 'variance' | 'rounding'>,
): LearntFilter {
  const measuredHz = measureLineWidth(frequencyHz, ratio, peaks);
  const gaussianHz = measuredHz ?? statedHz ?? 2 * spacingHz;
  // the curvature at the top tells the width of a Gaussian only; for the other shape the stated bandwidth is better
  const widths = { gaussian: gaussianHz, 'four-pole': statedHz ?? gaussianHz };
  const { shape, doubt } = likelierShape(frequencyHz, ratio, peaks, widths, spacingHz, frame);
  return { shape, widthHz: widths[shape], doubt, measuredHz };
}

/**
 * Which of the two filter shapes the trace's own clear lines fit better: the smaller misfit, at its lower quartile over up to 150
 * of them (unseen neighbours spoil many a line in a dense capture, but not the best quarter), and Gaussian where fewer than five
 * can tell or the difference is slight. `doubt` scales the error that is taken for the shape: the least with which that quarter
 * misfits by no more than noise does; 1 where fewer than five lines can tell.
 */
function likelierShape(
  frequencyHz: Float64Array,
  ratio: Float64Array,
  peaks: readonly Peak[],
  widths: Readonly<Record<SweptShape, number>>,
  spacingHz: number,
  frame: Pick<FitFrame, 'variance' | 'rounding'>,
): { shape: SweptShape; doubt: number } {
  const reach = Math.max(2, Math.round((1.1 * widths.gaussian) / spacingHz));
  const apart = Math.ceil((4 * widths.gaussian) / spacingHz);
  const clear = peaks
    .filter(
      ({ peak, crowded }, k) =>
        !crowded &&
        ratio[peak]! > 300 &&
        peak >= reach &&
        peak < ratio.length - reach &&
        peak - (peaks[k - 1]?.peak ?? -Infinity) > apart &&
        (peaks[k + 1]?.peak ?? Infinity) - peak > apart,
    )
    .slice(0, 150);
  const misfit = (shape: SweptShape, doubt: number): number => {
    const values = clear.flatMap(({ peak }) => {
      const fit = fitLine(frequencyHz, ratio, peak - reach, peak + reach, peak, {
        widthHz: widths[shape],
        shape,
        ...frame,
        doubt,
        correlation: 0,
        boundHz: 1.1 * spacingHz,
      });
      return fit === null ? [] : [fit.misfit];
    });
    return values.length < 5 ? NaN : values.sort((a, b) => a - b)[values.length >> 2]!;
  };
  const shape = misfit('four-pole', 1) < 0.7 * misfit('gaussian', 1) ? 'four-pole' : 'gaussian';
  if (Number.isNaN(misfit(shape, 1))) return { shape, doubt: 1 };
  return { shape, doubt: DOUBTS.find((doubt) => misfit(shape, doubt) < 0.6) ?? DOUBTS[DOUBTS.length - 1]! };
}

/** Half-power width of a Gaussian through a peak and its two neighbours; null where they do not curve downwards. */
export function curvatureWidth(frequencyHz: Float64Array, ratio: Float64Array, peak: number): number | null {
  if (peak === 0 || peak === ratio.length - 1) return null;
  const [a, b, c] = [ratio[peak - 1]! - 1, ratio[peak]! - 1, ratio[peak + 1]! - 1];
  if (a <= 1 || c <= 1) return null;
  const second = 10 * Math.log10((a * c) / (b * b));
  const step = (frequencyHz[peak + 1]! - frequencyHz[peak - 1]!) / 2;
  return second < 0 ? step * Math.sqrt((2 * 10 * Math.log10(16)) / -second) : null;
}

/**
 * Half-power width of an unresolved line, from the curvature of strong single peaks: for a Gaussian, in dB, the second
 * difference of three neighbouring points is −24.08·(spacing/width)². Median of at least five; null where there are fewer.
 */
function measureLineWidth(frequencyHz: Float64Array, ratio: Float64Array, peaks: readonly Peak[]): number | null {
  const widths: number[] = [];
  for (const { peak, crowded } of peaks) {
    if (crowded || peak === 0 || peak === ratio.length - 1 || ratio[peak]! < 100) continue;
    const width = curvatureWidth(frequencyHz, ratio, peak);
    if (width !== null) widths.push(width);
  }
  if (widths.length < 5) return null;
  widths.sort((x, y) => x - y);
  return widths[Math.floor(widths.length / 2)]!;
}
