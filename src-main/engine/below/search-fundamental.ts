import { isOpen, type Residual } from './residual.ts';

/** Where a comb may lie that no line has shown. */
export interface SearchRange {
  readonly lowHz: number;
  readonly highHz: number;
  readonly maxHarmonic: number;
}

export interface FoundFundamental {
  /** The fundamental with the highest stack. */
  readonly bestHz: number;
  /** The fundamental at which the stack allows the strongest lines: it need not be the same. */
  readonly loosestHz: number;
  /** Fundamentals tried. */
  readonly trials: number;
  /** Highest harmonic stacked: higher ones would need a finer search than is worth its chance. */
  readonly highestHarmonic: number;
  /** Share of a line's power that the coarseness of the search may have lost at the loosest place. */
  readonly kept: number;
}

/** Stack look-ups that one source may cost. A choice of this tool: about a hundredth of a second. */
const MOST_LOOK_UPS = 1e6;
/** Step of the search at the highest harmonic, in line widths. */
const STEP_WIDTHS = 0.5;
/** Fewer harmonics than this are no comb. */
export const FEWEST_TEETH = 3;
const Z95 = 1.645;

/** The matched excess of a line at every half point of a trace, made once and asked for all sources. */
export class MatchedTrace {
  /** Rise over variance, and one over variance, of a line at half point j; zeros where nothing can be told. */
  readonly #pull: Float64Array;
  readonly #weight: Float64Array;
  readonly #residual: Residual;
  readonly #startHz: number;
  readonly #halfStepHz: number;

  constructor(residual: Residual) {
    const { frequencyHz, spacingHz, lineWidthHz, response, value, free, toothOf, local, covariance } = residual;
    const n = frequencyHz.length;
    this.#residual = residual;
    this.#startHz = frequencyHz[0]!;
    this.#halfStepHz = spacingHz / 2;
    this.#pull = new Float64Array(2 * n - 1);
    this.#weight = new Float64Array(2 * n - 1);
    const reach = Math.max(1, Math.ceil((1.2 * lineWidthHz) / spacingHz));
    for (const phase of [0, 1]) {
      // offsets of the points around a half point, in points
      const offsets = Array.from({ length: 2 * reach + 1 - phase }, (_, k) => k - reach + phase);
      const g = offsets.map((k) => response((k - phase / 2) * spacingHz));
      const all = g.reduce((sum, share) => sum + share * share, 0);
      let variance = 0;
      for (let a = 0; a < g.length; a++)
        for (let b = 0; b < g.length; b++)
          variance += (g[a]! * g[b]! * (covariance[Math.abs(a - b)] ?? 0)) / (all * all);
      if (!(variance > 0)) continue;
      for (let i = 0; i < n - phase; i++) {
        const mean = local[i]!;
        if (Number.isNaN(mean)) continue;
        const placeHz = frequencyHz[i]! + (phase * spacingHz) / 2;
        let open = 0;
        let sum = 0;
        for (let k = 0; k < g.length; k++) {
          const at = i + offsets[k]!;
          if (at < 0 || at >= n) continue;
          if ((free[at] === 0 || toothOf[at] !== 0) && !isOpen(residual, at, placeHz, 0, 0)) continue;
          open += g[k]! * g[k]!;
          sum += g[k]! * (value[at]! - mean);
        }
        if (open < 0.5 * all) continue;
        const weight = open / all / variance;
        // one tooth counts for three standard deviations at most, as in the stack itself
        this.#weight[2 * i + phase] = weight;
        this.#pull[2 * i + phase] = Math.min(sum / open, 3 / Math.sqrt(weight)) * weight;
      }
    }
  }

  /**
   * Tries every fundamental of a range, in steps that no line can slip through.
   *
   * @returns null where no fundamental has three places to be stacked at
   */
  search(range: SearchRange): FoundFundamental | null {
    const { frequencyHz, lineWidthHz, spacingHz } = this.#residual;
    const n = frequencyHz.length;
    const stopHz = frequencyHz[n - 1]!;
    const first = Math.max(1, Math.ceil(this.#startHz / range.highHz));
    const last = Math.min(range.maxHarmonic, Math.floor(stopHz / range.lowHz));
    const spanHz = range.highHz - range.lowHz;
    // look-ups grow with the square of the highest harmonic
    const perHarmonic = spanHz / (STEP_WIDTHS * lineWidthHz);
    let highest = last;
    while (highest > first + FEWEST_TEETH && perHarmonic * highest * (highest - first + 1) > MOST_LOOK_UPS)
      highest = Math.floor(0.9 * highest);
    if (highest - first + 1 < FEWEST_TEETH) return null;
    const trials = Math.max(1, Math.ceil(perHarmonic * highest) + 1);
    const stepHz = trials === 1 ? 0 : spanHz / (trials - 1);
    let best = -Infinity;
    let bestHz = NaN;
    let loosest = -Infinity;
    let loosestHz = NaN;
    for (let t = 0; t < trials; t++) {
      const fundamentalHz = trials === 1 ? (range.lowHz + range.highHz) / 2 : range.lowHz + t * stepHz;
      let pull = 0;
      let weight = 0;
      let teeth = 0;
      const from = Math.max(1, Math.ceil(this.#startHz / fundamentalHz));
      const to = Math.min(highest, Math.floor(stopHz / fundamentalHz));
      for (let h = from; h <= to; h++) {
        const j = Math.round((h * fundamentalHz - this.#startHz) / this.#halfStepHz);
        const w = this.#weight[j] ?? 0;
        if (w === 0) continue;
        pull += this.#pull[j]!;
        weight += w;
        teeth++;
      }
      if (teeth < FEWEST_TEETH) continue;
      const root = Math.sqrt(weight);
      if (pull / root > best) {
        best = pull / root;
        bestHz = fundamentalHz;
      }
      const limit = (Math.max(0, pull / root) + Z95) / root;
      if (limit > loosest) {
        loosest = limit;
        loosestHz = fundamentalHz;
      }
    }
    if (Number.isNaN(bestHz)) return null;
    // a template off by d keeps 2^(−2(d/width)²) of a Gaussian line: at most half a step at the top harmonic, less below
    const off = stepHz === 0 ? 0 : (stepHz * highest) / 2 / lineWidthHz;
    const grid = Math.min(0.25, spacingHz / 4 / lineWidthHz);
    return { bestHz, loosestHz, trials, highestHarmonic: highest, kept: 2 ** (-2 * (off * off * 0.4 + grid * grid)) };
  }
}
