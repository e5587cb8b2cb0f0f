import type { Spur } from '../../model/spur.ts';
import { describeSpur, type TraceFrame } from './describe-spur.ts';
import { filterResponse, shapeError } from './line-shape.ts';
import type { Peak } from './pick-peaks.ts';

const DB = 10 / Math.LN10;
/** Lines further off than this many widths do not matter, whatever the filter. */
const REACH_WIDTHS = 8;
/** A neighbour that adds less than this share of a line's power at its place is left alone. */
const SMALLEST_SHARE = 1e-4;

/**
 * Spurs described again with the fitted skirts of their neighbours taken off, and with what these may still do to them.
 *
 * Two steady lines beat: at the place of one, the amplitude of the other's skirt adds with a phase that turns from sweep to sweep, so
 * of K averages √(2ε/K) of the power remains uncertain, ε the share of the neighbour's power there; nothing averages out where
 * the largest sweep is held. What the shape's error
 * leaves of the skirt comes on top. That leans the peak by its share of the distance between the lines, the beat by half of that.
 *
 * @param spurs parallel to `peaks`, each described alone
 * @param widening parallel to them, by unseenWidening
 */
export function withoutNeighbours(
  peaks: readonly Peak[],
  spurs: readonly Spur[],
  widening: Float64Array,
  frame: TraceFrame,
): Spur[] {
  const { frequencyHz, ratio, filter, law } = frame;
  const reachHz = REACH_WIDTHS * filter.widthHz;
  const reach = Math.round((1.5 * filter.widthHz) / frame.spacingHz) + 1;
  return spurs.map((spur, index) => {
    if (spur.shape === 'hump') return spur;
    const signal = signalOf(spur);
    const near: { spur: Spur; power: number; share: number }[] = [];
    for (const direction of [-1, 1])
      for (let k = index + direction; k >= 0 && k < spurs.length; k += direction) {
        const other = spurs[k]!;
        const apartHz = Math.abs(other.frequencyHz - spur.frequencyHz);
        if (apartHz > reachHz) break;
        if (other.shape === 'hump') continue;
        const response = filterResponse(apartHz, filter.widthHz, filter.shape);
        const power = Math.min(signalOf(other), skirtLimit(peaks[index]!.peak, other, frame));
        const share = (power * response) / signal;
        if (share > SMALLEST_SHARE) near.push({ spur: other, power, share });
      }
    if (near.length === 0) return spur;

    const peak = peaks[index]!;
    const first = Math.max(0, peak.peak - reach);
    const last = Math.min(ratio.length - 1, peak.peak + reach);
    const cleaned = ratio.subarray(first, last + 1).map((value, i) => {
      let skirts = 0;
      for (const { spur: other } of near)
        skirts +=
          signalOf(other) * filterResponse(frequencyHz[first + i]! - other.frequencyHz, filter.widthHz, filter.shape);
      // never below a tenth: where the skirt is nearly all there is, nothing is left to fit
      return Math.max(value - skirts, 0.1 * value);
    });
    const averages = law.held ? 1 : (2 * signal) / Math.max(law.variance(signal), 1e-12);
    let frequencyVariance = 0;
    let levelVariance = 0;
    for (const { spur: other, share } of near) {
      const apartHz = other.frequencyHz - spur.frequencyHz;
      const left = share * Math.min(1, filter.doubt * shapeError(apartHz / filter.widthHz));
      const beat = Math.sqrt((2 * share) / Math.max(1, averages));
      levelVariance += (DB * Math.hypot(left, beat)) ** 2;
      // a power's slope leans a Gaussian's peak by share × distance, an amplitude's, whose beat is twice it, by half of the beat
      frequencyVariance += (apartHz * Math.hypot(left, beat / 2)) ** 2;
    }
    const own: Float64Array = ratio.slice(first, last + 1);
    ratio.set(cleaned, first);
    const again = describeSpur(peak, frame, {
      unseenWidening: widening[index]!,
      frequencySigmaHz: Math.min(Math.sqrt(frequencyVariance), filter.widthHz / 2),
      levelSigmaDb: Math.min(Math.sqrt(levelVariance), 6),
    });
    ratio.set(own, first);
    // height, width and kind stay as measured on the trace itself
    return again.shape === 'hump' ? spur : { ...again, widthHz: spur.widthHz, overFloorDb: spur.overFloorDb };
  });
}

/** The power a neighbour could have at most by the lowest point between: its skirt cannot stand above what was measured there. */
function skirtLimit(peak: number, other: Spur, { frequencyHz, ratio, filter, law }: TraceFrame): number {
  let valley = peak;
  const step = other.peakIndex > peak ? 1 : -1;
  for (let i = peak; i !== other.peakIndex; i += step) if (ratio[i]! < ratio[valley]!) valley = i;
  const most = Math.max(0, ratio[valley]! - 1) + Math.sqrt(law.variance(0));
  return most / filterResponse(frequencyHz[valley]! - other.frequencyHz, filter.widthHz, filter.shape);
}

/** Power of the line over the mean noise at its place. */
function signalOf(spur: Spur): number {
  return 10 ** ((spur.levelDb - spur.floorDb) / 10);
}
