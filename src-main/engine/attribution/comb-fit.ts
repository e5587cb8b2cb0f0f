import type { LineTable } from './line-table.ts';

/** One fundamental fitted to many lines. `slope` is the relative change of the fundamental from low to high end of the span. */
export interface CombFit {
  readonly fundamentalHz: number;
  readonly sigmaHz: number;
  readonly slope: number;
  readonly slopeSigma: number;
  /** Covariance of fundamental and slope, in Hz. */
  readonly covariance: number;
  /** Mean square of the residuals in units of their σ. */
  readonly chiSquarePerPoint: number;
  readonly midHz: number;
  readonly spanHz: number;
}

/** Where a fit puts a harmonic. */
export function predictHz(fit: CombFit, harmonic: number): number {
  const plain = harmonic * fit.fundamentalHz;
  return fit.slope === 0 ? plain : plain * (1 + (fit.slope * (plain - fit.midHz)) / fit.spanHz);
}

/** One standard deviation of predictHz. */
export function predictSigmaHz(fit: CombFit, harmonic: number): number {
  if (fit.slopeSigma === 0) return harmonic * fit.sigmaHz;
  const plain = harmonic * fit.fundamentalHz;
  const b = (plain * (plain - fit.midHz)) / fit.spanHz;
  const variance = (harmonic * fit.sigmaHz) ** 2 + (b * fit.slopeSigma) ** 2 + 2 * harmonic * b * fit.covariance;
  return Math.sqrt(Math.max(variance, 0));
}

/**
 * Weighted least squares of f_i = n_i·f0, or f_i = n_i·f0·(1 + s·x_i) for a fundamental that drifts during the sweep.
 *
 * Without slope: f0 = Σ n f/σ² / Σ n²/σ² and σ_f0 = 1/√Σ n²/σ². Uncertainties grow with the residuals where these
 * are larger than stated, and never shrink.
 *
 * @param harmonics harmonic number of each match @param matched index of its line, same length
 * @param shares how surely each match is a tooth, 0…1, same length; null: all are
 */
export function fitComb(
  lines: LineTable,
  harmonics: readonly number[],
  matched: readonly number[],
  withSlope: boolean,
  midHz: number,
  spanHz: number,
  shares: Float64Array | null = null,
): CombFit {
  let a11 = 0;
  let a12 = 0;
  let a22 = 0;
  let b1 = 0;
  let b2 = 0;
  for (let j = 0; j < harmonics.length; j++) {
    const n = harmonics[j]!;
    const f = lines.frequencyHz[matched[j]!]!;
    const weight = (shares === null ? 1 : shares[j]!) / lines.sigmaHz[matched[j]!]! ** 2;
    const x = (f * (f - midHz)) / spanHz;
    a11 += weight * n * n;
    a12 += weight * n * x;
    a22 += weight * x * x;
    b1 += weight * n * f;
    b2 += weight * x * f;
  }
  let fundamentalHz = b1 / a11;
  let slope = 0;
  let variance11 = 1 / a11;
  let variance22 = 0;
  let covariance = 0;
  if (withSlope) {
    const determinant = a11 * a22 - a12 * a12;
    fundamentalHz = (b1 * a22 - b2 * a12) / determinant;
    slope = (a11 * b2 - a12 * b1) / determinant;
    variance11 = a22 / determinant;
    variance22 = a11 / determinant;
    covariance = -a12 / determinant;
  }
  const draft = { fundamentalHz, slope, midHz, spanHz, sigmaHz: 0, slopeSigma: 0, covariance: 0, chiSquarePerPoint: 0 };
  let chiSquare = 0;
  let teeth = 0;
  for (let j = 0; j < harmonics.length; j++) {
    const i = matched[j]!;
    const share = shares === null ? 1 : shares[j]!;
    chiSquare += share * ((lines.frequencyHz[i]! - predictHz(draft, harmonics[j]!)) / lines.sigmaHz[i]!) ** 2;
    teeth += share;
  }
  const freedom = Math.max(1, teeth - (withSlope ? 2 : 1));
  // matches are cut off at a few sigma, so more than a doubling of the errors would feed on itself
  const inflate = Math.min(4, Math.max(1, chiSquare / freedom));
  return {
    ...draft,
    sigmaHz: Math.sqrt(variance11 * inflate),
    slopeSigma: Math.sqrt(variance22 * inflate),
    covariance: covariance * inflate,
    chiSquarePerPoint: chiSquare / freedom,
  };
}
