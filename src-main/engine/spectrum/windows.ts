import type { WindowName } from '../../model/spectrum-settings.ts';

/**
 * Coefficients a₀, a₁ … of the cosine sums w[n] = Σ (−1)^k·a_k·cos(2πkn/N), in the periodic form (n = 0 … N − 1).
 *
 * Harris, "On the use of windows for harmonic analysis with the discrete Fourier transform", Proc. IEEE 66 (1978) 51–83, from memory
 * but for the Blackman-Harris row, which was read in a textbook citing it. Nuttall's and the flat top's are those of
 * scipy.signal.windows, the latter given there as D'Antona and Ferrero 2006, p. 70.
 */
const COEFFICIENTS: Readonly<Record<WindowName, readonly number[]>> = {
  rectangular: [1],
  hann: [0.5, 0.5],
  hamming: [0.54, 0.46],
  blackman: [0.42, 0.5, 0.08],
  'exact-blackman': [7938 / 18608, 9240 / 18608, 1430 / 18608],
  'blackman-harris': [0.35875, 0.48829, 0.14128, 0.01168],
  nuttall: [0.3635819, 0.4891775, 0.1365995, 0.0106411],
  'flat-top': [0.21557895, 0.41663158, 0.277263158, 0.083578947, 0.006947368],
};

export const WINDOW_NAMES = Object.keys(COEFFICIENTS) as readonly WindowName[];

/** a₀, a₁ … of the cosine sum. */
export function windowCoefficients(name: WindowName): readonly number[] {
  return COEFFICIENTS[name];
}

/** The weights of a window of `points` samples, periodic: the sample after the last would equal the first. */
export function windowWeights(name: WindowName, points: number): Float64Array {
  const coefficients = COEFFICIENTS[name];
  const weights = new Float64Array(points);
  for (let n = 0; n < points; n++) {
    let weight = 0;
    for (const [k, a] of coefficients.entries())
      weight += (k % 2 === 0 ? a : -a) * Math.cos((2 * Math.PI * ((k * n) % points)) / points);
    weights[n] = weight;
  }
  return weights;
}

/** Half the width of the main lobe in bins: a cosine sum of m terms is zero from bin m on. */
export function mainLobeBins(name: WindowName): number {
  return COEFFICIENTS[name].length;
}

/** What a window does to lines and noise. */
export interface WindowFigures {
  /** Mean weight: a line's amplitude is shown times this before it is corrected. */
  readonly coherentGain: number;
  /** Equivalent noise bandwidth in bins, N·Σw²/(Σw)². */
  readonly enbwBins: number;
  /** How much lower a line half a bin off reads, in dB (negative). */
  readonly scallopingDb: number;
  /** Width of a line at half its power, in bins. */
  readonly halfPowerBins: number;
}

/**
 * A window's figures by its weights: definitions of Harris 1978 (see above) and Heinzel, Rüdiger, Schilling, "Spectrum and spectral
 * density estimation by the DFT" (2002).
 */
export function windowFigures(weights: Float64Array): WindowFigures {
  const points = weights.length;
  let sum = 0;
  let square = 0;
  for (const w of weights) {
    sum += w;
    square += w * w;
  }
  return {
    coherentGain: sum / points,
    enbwBins: (points * square) / (sum * sum),
    scallopingDb: 10 * Math.log10(responseAt(weights, 0.5)),
    halfPowerBins: 2 * halfPowerOffset(weights),
  };
}

/** Power that a line shows at an offset from it, in bins, relative to its top: |Σ w·e^(−2πi·offset·n/N)|²/(Σw)². */
export function responseAt(weights: Float64Array, offsetBins: number): number {
  let re = 0;
  let im = 0;
  let sum = 0;
  for (let n = 0; n < weights.length; n++) {
    const angle = (2 * Math.PI * offsetBins * n) / weights.length;
    re += weights[n]! * Math.cos(angle);
    im += weights[n]! * Math.sin(angle);
    sum += weights[n]!;
  }
  return (re * re + im * im) / (sum * sum);
}

/** Where the main lobe has fallen to half its power; by halving, to 1e-6 bins. */
function halfPowerOffset(weights: Float64Array): number {
  let inside = 0;
  let outside = 2.5;
  while (outside - inside > 1e-6) {
    const middle = (inside + outside) / 2;
    if (responseAt(weights, middle) > 0.5) inside = middle;
    else outside = middle;
  }
  return (inside + outside) / 2;
}
