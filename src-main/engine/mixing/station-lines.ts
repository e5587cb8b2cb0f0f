import type { LineExplanation } from '../../model/attribution.ts';
import type { Spur } from '../../model/spur.ts';
import { logBinomialTail } from '../numeric/binomial-tail.ts';

/** Channel rasters of the radio services, in Hz (common practice, no source): long and medium wave 9 and 10 kHz, short wave 5 kHz, the others mobile and broadcast services. */
const RASTERS_HZ = [5e3, 6.25e3, 25e3 / 3, 9e3, 10e3, 12.5e3, 20e3, 25e3, 50e3, 100e3, 200e3];
/** Neighbours on either side that are asked. */
const NEIGHBOURS = 8;
/** So many on a raster by chance, or fewer, in all rasters tried: then it is one. A choice of this tool. */
const RASTER_CHANCE = 1e-3;
/** A raster finer than this many match windows tells nothing. */
const FEWEST_WINDOWS = 3;

/**
 * Lines that nothing explains and that stand on a channel raster together with their neighbours: stations, as far as anyone can tell. They
 * are no lines at random, and pairs and sums about them come by the raster, so beats, sidebands and folds leave them alone.
 *
 * @returns 1 for each such spur
 */
export function stationLines(
  spurs: readonly Spur[],
  explanations: readonly LineExplanation[],
  sigmaHz: Float64Array,
  matchSigma: number,
): Uint8Array {
  const out = new Uint8Array(spurs.length);
  const free = spurs.flatMap((_, i) => (explanations[i]!.cause === 'unexplained' ? [i] : []));
  for (const rasterHz of RASTERS_HZ) {
    const on = free.map((i) => {
      const windowHz = matchSigma * sigmaHz[i]!;
      const hz = spurs[i]!.frequencyHz;
      return Math.abs(hz - Math.round(hz / rasterHz) * rasterHz) <= windowHz;
    });
    const chance = free.map((i) => (2 * matchSigma * sigmaHz[i]!) / rasterHz);
    for (let j = 0; j < free.length; j++) {
      if (!on[j] || chance[j]! * FEWEST_WINDOWS > 1) continue;
      for (const reach of [NEIGHBOURS / 2, NEIGHBOURS]) {
        let hits = 0;
        let asked = 0;
        let sum = 0;
        for (let k = Math.max(0, j - reach); k <= Math.min(free.length - 1, j + reach); k++) {
          if (k === j) continue;
          asked++;
          sum += Math.min(1, chance[k]!);
          if (on[k]) hits++;
        }
        if (hits > 0 && logBinomialTail(hits, asked, sum / asked) < Math.log(RASTER_CHANCE / RASTERS_HZ.length)) {
          out[free[j]!] = 1;
          break;
        }
      }
    }
  }
  return out;
}
