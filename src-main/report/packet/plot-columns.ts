/** A trace thinned for print: of every column its smallest and largest level, so that no line is lost. */
export interface PlotColumns {
  readonly lowHz: number;
  readonly highHz: number;
  /** Middle of each column. */
  readonly frequencyHz: Float64Array;
  readonly minimumDb: Float64Array;
  readonly maximumDb: Float64Array;
  /** Mean noise power at each column; NaN where it is not known. */
  readonly floorDb: Float64Array;
}

/**
 * At most `columns` columns of equal numbers of points.
 *
 * @param floorDb parallel to the trace
 */
export function plotColumns(
  frequencyHz: Float64Array,
  levelDb: Float64Array,
  floorDb: Float64Array,
  columns: number,
): PlotColumns {
  const points = frequencyHz.length;
  const count = Math.min(columns, points);
  const out = {
    lowHz: frequencyHz[0]!,
    highHz: frequencyHz[points - 1]!,
    frequencyHz: new Float64Array(count),
    minimumDb: new Float64Array(count).fill(NaN),
    maximumDb: new Float64Array(count).fill(NaN),
    floorDb: new Float64Array(count).fill(NaN),
  };
  for (let c = 0; c < count; c++) {
    const first = Math.floor((c * points) / count);
    const last = Math.floor(((c + 1) * points) / count) - 1;
    out.frequencyHz[c] = (frequencyHz[first]! + frequencyHz[last]!) / 2;
    let [least, most, floor] = [Infinity, -Infinity, NaN];
    for (let i = first; i <= last; i++) {
      const level = levelDb[i]!;
      // −∞ (a power of zero) cannot be drawn; it is there in the trace's own file
      if (level < least && level > -Infinity) least = level;
      if (level > most && level < Infinity) most = level;
      if (Number.isFinite(floorDb[i]!)) floor = floorDb[i]!;
    }
    if (least <= most) [out.minimumDb[c], out.maximumDb[c]] = [least, most];
    out.floorDb[c] = floor;
  }
  return out;
}
