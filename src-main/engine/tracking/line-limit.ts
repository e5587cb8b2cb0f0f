import { noncentralityWithCdf } from '../numeric/noncentral-chi-square.ts';
import { studentTwoSided } from '../numeric/student-quantile.ts';

/**
 * Upper limit on the power of a steady line under one point of a spectrum, in dB over the mean noise power, from the point's own
 * height over it.
 *
 * With K averages, 2K·P/μ follows a non-central chi-square with 2K degrees of freedom and non-centrality 2K·S/μ (Kay, Detection
 * Theory, equation 5.2 in the form quoted in check tables: Pd 0.95 points +13.66, +5.67, −0.93 dB for K = 1, 10, 100 at a false
 * alarm of 1e-6). The limit is the S at which so low a point has probability 1 − confidence.
 *
 * A point below the mean counts as the mean: a lucky dip must not prove more than the measurement could have shown
 * (power-constrained limit, Cowan, Cranmer, Gross & Vitells 2011).
 */
export function lineLimitOverNoiseDb(overNoiseDb: number, averages: number, confidence: number): number {
  const over = 10 ** (Math.max(0, overNoiseDb) / 10);
  const lambda = noncentralityWithCdf(2 * averages * over, 2 * averages, 1 - confidence);
  return 10 * Math.log10(lambda / (2 * averages));
}

/** Where the table ends and the normal form of the square root takes over (error below 0.02 dB there). */
const TABLE_END_DB = 15;

/** The same as a function made for one K and confidence: tabled as it is asked for, linear between steps of 0.1 dB or a tenth of a point's scatter. */
export function lineLimitTable(averages: number, confidence: number): (overNoiseDb: number) => number {
  const stepDb = Math.min(0.1, 0.43 / Math.sqrt(averages));
  const steps = Math.ceil(TABLE_END_DB / stepDb) + 2;
  const table = new Float64Array(steps).fill(NaN);
  const z = studentTwoSided(2 * (1 - confidence), Infinity);
  const at = (step: number): number => {
    if (Number.isNaN(table[step]!)) table[step] = lineLimitOverNoiseDb(step * stepDb, averages, confidence);
    return table[step]!;
  };
  return (overNoiseDb) => {
    if (overNoiseDb >= TABLE_END_DB) {
      // √χ'² is nearly normal about √(λ + 2K − 1) with unit variance.
      const root = Math.sqrt(2 * averages * 10 ** (overNoiseDb / 10)) + z;
      return 10 * Math.log10((root * root - (2 * averages - 1)) / (2 * averages));
    }
    const position = Math.max(0, overNoiseDb) / stepDb;
    const step = Math.floor(position);
    const low = at(step);
    return low + (at(step + 1) - low) * (position - step);
  };
}
