import type { Spur } from '../../model/spur.ts';

/** The lines of one capture as columns, ascending in frequency, with the error that matching allows each. */
export interface LineTable {
  readonly count: number;
  readonly frequencyHz: Float64Array;
  /** One standard deviation for matching: the stated one, a share of a hump's width and a floor, added in squares. */
  readonly sigmaHz: Float64Array;
  /** First and last frequency a spur covers: nothing else can be seen there. */
  readonly fromHz: Float64Array;
  readonly toHz: Float64Array;
  readonly overFloorDb: Float64Array;
  readonly levelDb: Float64Array;
  /** Lines closer than this run into one. */
  readonly resolutionHz: number;
}

/**
 * A stated line error can be far below what real sources obey: a free-running converter jitters, a sweep is not
 * perfectly linear. Three hundredths of the resolution bandwidth is the smallest error used for matching.
 * A choice of this tool: at 3 sigma it is a tenth of the width that the analyser resolves at all.
 */
const SMALLEST_SIGMA_RBW = 0.03;

/** The centre of a broad hump is known to about a tenth of its width. A choice of this tool. */
const HUMP_CENTRE_SHARE = 0.1;

/**
 * @param spurs ascending in frequency
 * @param frequencyHz axis of the trace the spurs index into
 * @param rbwHz resolution bandwidth, or the point spacing where nobody knows it
 */
export function buildLineTable(spurs: readonly Spur[], frequencyHz: Float64Array, rbwHz: number): LineTable {
  const count = spurs.length;
  const table = {
    count,
    frequencyHz: new Float64Array(count),
    sigmaHz: new Float64Array(count),
    fromHz: new Float64Array(count),
    toHz: new Float64Array(count),
    overFloorDb: new Float64Array(count),
    levelDb: new Float64Array(count),
    resolutionHz: rbwHz,
  };
  for (let i = 0; i < count; i++) {
    const spur = spurs[i]!;
    const hump = spur.shape === 'hump' ? HUMP_CENTRE_SHARE * spur.widthHz : 0;
    table.frequencyHz[i] = spur.frequencyHz;
    table.sigmaHz[i] = Math.hypot(spur.frequencySigmaHz, hump, SMALLEST_SIGMA_RBW * rbwHz);
    table.fromHz[i] = Math.min(frequencyHz[spur.firstIndex]!, spur.frequencyHz);
    table.toHz[i] = Math.max(frequencyHz[spur.lastIndex]!, spur.frequencyHz);
    table.overFloorDb[i] = spur.overFloorDb;
    table.levelDb[i] = spur.levelDb;
  }
  return table;
}
