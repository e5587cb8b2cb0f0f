import type { SideTrace } from './side-trace.ts';
import { localSpacing } from './window-limit.ts';
import { lowerBound } from '../numeric/lower-bound.ts';

/** Power in a stretch of spectrum with the noise taken off, linear in units of the common decibel unit. */
export interface BandPower {
  /** May be negative where there is nothing but noise. */
  readonly power: number;
  readonly sigma: number;
  /** Share of the stretch that the trace has no value for. */
  readonly blankShare: number;
}

/**
 * Integrated power of a hump (or a line) over the floor: Σ (P − μ)·Δf / noise bandwidth.
 *
 * The sum over the points of a line's filter shape gives the line's own power, so lines and humps come out on one scale and the
 * resolution bandwidth drops out. Its standard deviation holds the noise of each point (neighbours inside one bandwidth are not
 * independent) and the doubt of the floor under the whole stretch.
 * With `only` the points of all other spurs of the trace than that one are left out, as if blank (null: nothing is left out).
 * Points are shifted to read the floor in the middle where the noise is not what chi-square describes (log averages read low).
 */
export function bandPower(trace: SideTrace, lowHz: number, highHz: number, only: number | null): BandPower {
  const { frequencyHz, levelDb, meanDb, offsetDb, noiseBandwidthHz, triaged } = trace;
  const { floor, spurs } = triaged.triage;
  const chiSquare = floor.statistic === 'chi-square' && floor.averages !== null;
  const shiftDb = chiSquare ? 0 : -floor.medianOverMeanDb;
  const pointSigma = chiSquare ? 1 / Math.sqrt(floor.averages) : (floor.pointSpreadDb * Math.LN10) / 10;
  const first = lowerBound(frequencyHz, lowHz);
  const last = Math.min(frequencyHz.length - 1, lowerBound(frequencyHz, highHz));
  let power = 0;
  let variance = 0;
  let noise = 0;
  let blank = 0;
  let spur = 0;
  for (let j = first; j <= last; j++) {
    while (spur < spurs.length && spurs[spur]!.lastIndex < j) spur++;
    const foreign = only !== null && spur < spurs.length && spur !== only && spurs[spur]!.firstIndex <= j;
    if (foreign || Number.isNaN(levelDb[j]!)) {
      blank++;
      continue;
    }
    const spacing = localSpacing(frequencyHz, j);
    const share = spacing / noiseBandwidthHz;
    const point = 10 ** ((levelDb[j]! + shiftDb + offsetDb) / 10) * share;
    const mean = 10 ** ((meanDb[j]! + offsetDb) / 10) * share;
    power += point - mean;
    noise += mean;
    variance += (point * pointSigma) ** 2 * Math.max(1, 1 / share);
  }
  const points = last - first + 1;
  const floorSigma = (noise * floor.sigmaDb * Math.LN10) / 10;
  return {
    power,
    sigma: Math.sqrt(variance + floorSigma ** 2),
    blankShare: points <= 0 ? 1 : blank / points,
  };
}
