import type { LineExplanation } from '../../model/attribution.ts';
import type { Spur } from '../../model/spur.ts';
import { lowerBound } from '../numeric/lower-bound.ts';
import { stationLines } from './station-lines.ts';

/** A place at which a hypothesis puts a line. */
export interface Place {
  readonly hz: number;
  readonly sigmaHz: number;
}

/** The lines of one capture, of which those that nothing explains, stations left out, are free to be explained. Columns ascending in frequency. */
export class FreeLines {
  readonly frequencyHz: Float64Array;
  readonly sigmaHz: Float64Array;
  readonly levelDb: Float64Array;
  readonly spurs: readonly Spur[];
  readonly spanLowHz: number;
  readonly spanHighHz: number;
  readonly matchSigma: number;
  /** Half-power width of an unresolved line. */
  readonly lineWidthHz: number;
  readonly #free: Uint8Array;
  readonly #fromHz: Float64Array;
  readonly #toHz: Float64Array;
  #freeHz = new Float64Array(0);
  #freeIndex = new Int32Array(0);
  /** Running sum of the squares of the free lines' errors. */
  #squares = new Float64Array(1);

  /** @param frequencyHz axis that the spurs index into */
  constructor(
    spurs: readonly Spur[],
    explanations: readonly LineExplanation[],
    frequencyHz: Float64Array,
    lineWidthHz: number,
    matchSigma: number,
  ) {
    this.spurs = spurs;
    this.matchSigma = matchSigma;
    this.lineWidthHz = lineWidthHz;
    this.spanLowHz = frequencyHz[0]!;
    this.spanHighHz = frequencyHz[frequencyHz.length - 1]!;
    this.frequencyHz = Float64Array.from(spurs, (spur) => spur.frequencyHz);
    this.levelDb = Float64Array.from(spurs, (spur) => spur.levelDb);
    this.sigmaHz = Float64Array.from(spurs, (spur) =>
      Math.hypot(
        spur.frequencySigmaHz,
        spur.shape === 'hump' ? HUMP_CENTRE_SHARE * spur.widthHz : 0,
        SMALLEST_SIGMA_WIDTHS * lineWidthHz,
      ),
    );
    this.#fromHz = Float64Array.from(spurs, (spur) => Math.min(frequencyHz[spur.firstIndex]!, spur.frequencyHz));
    this.#toHz = Float64Array.from(spurs, (spur) => Math.max(frequencyHz[spur.lastIndex]!, spur.frequencyHz));
    this.#free = new Uint8Array(spurs.length);
    this.renew(explanations);
  }

  isFree(line: number): boolean {
    return this.#free[line] === 1;
  }

  /** Indices of the free lines, ascending. */
  get free(): Int32Array {
    return this.#freeIndex;
  }

  /** Begins again with other explanations. */
  renew(explanations: readonly LineExplanation[]): void {
    const stations = stationLines(this.spurs, explanations, this.sigmaHz, this.matchSigma);
    for (const [i, { cause }] of explanations.entries())
      this.#free[i] = cause === 'unexplained' && stations[i] === 0 ? 1 : 0;
    this.#index();
  }

  /** Takes lines out: something explains them. */
  take(lines: readonly number[]): void {
    for (const line of lines) this.#free[line] = 0;
    this.#index();
  }

  #index(): void {
    this.#freeIndex = Int32Array.from(this.frequencyHz.keys()).filter((i) => this.#free[i] === 1);
    this.#freeHz = Float64Array.from(this.#freeIndex, (i) => this.frequencyHz[i]!);
    this.#squares = new Float64Array(this.#freeIndex.length + 1);
    for (const [j, i] of this.#freeIndex.entries()) this.#squares[j + 1] = this.#squares[j]! + this.sigmaHz[i]! ** 2;
  }

  /** Free lines between two frequencies. */
  between(lowHz: number, highHz: number): Int32Array {
    return this.#freeIndex.subarray(lowerBound(this.#freeHz, lowHz), lowerBound(this.#freeHz, highHz));
  }

  /**
   * Free lines per Hz near a place: of the nearest six and the nearest twenty on either side whichever stand closer. Lines come in
   * clusters, and a density taken too low would make chance look like evidence.
   */
  densityAt(hz: number): number {
    return this.#around(hz).density;
  }

  /** Probability that lines at random put one within the match window of a place. */
  accidentAt({ hz, sigmaHz }: Place): number {
    const { density, meanSquare } = this.#around(hz);
    return -Math.expm1(-2 * this.matchSigma * density * Math.sqrt(meanSquare + sigmaHz * sigmaHz));
  }

  #around(hz: number): { density: number; meanSquare: number } {
    const count = this.#freeHz.length;
    const out = { density: 0, meanSquare: 0 };
    if (count === 0) return out;
    const middle = lowerBound(this.#freeHz, hz);
    for (const neighbours of NEIGHBOURS) {
      const first = Math.max(0, middle - neighbours);
      const last = Math.min(count, middle + neighbours);
      const fromLine = middle - neighbours > 0;
      const toLine = middle + neighbours < count;
      const low = fromLine ? this.#freeHz[first]! : this.spanLowHz;
      const high = toLine ? this.#freeHz[last - 1]! : this.spanHighHz;
      const size = last - first;
      // n lines end to end are n − 1 gaps
      const gaps = Math.max(1, size - (fromLine ? 0.5 : 0) - (toLine ? 0.5 : 0));
      out.density = Math.max(out.density, gaps / Math.max(high - low, Number.MIN_VALUE));
      out.meanSquare = (this.#squares[last]! - this.#squares[first]!) / size;
    }
    return out;
  }

  /** The free line nearest to a place, within the match window; −1 for none. */
  matchAt({ hz, sigmaHz }: Place): number {
    const near = lowerBound(this.#freeHz, hz);
    let best = -1;
    let bestZ = this.matchSigma;
    for (let j = Math.max(0, near - 2); j < Math.min(this.#freeHz.length, near + 2); j++) {
      const line = this.#freeIndex[j]!;
      const z = Math.abs(this.#freeHz[j]! - hz) / Math.hypot(this.sigmaHz[line]!, sigmaHz);
      if (z <= bestZ) {
        bestZ = z;
        best = line;
      }
    }
    return best;
  }

  /** Outside the span, or under a line that something else explains: nothing can be seen there, for or against. */
  isCovered({ hz, sigmaHz }: Place): boolean {
    if (!(hz >= this.spanLowHz && hz <= this.spanHighHz)) return true;
    const near = lowerBound(this.frequencyHz, hz);
    for (let i = Math.max(0, near - 2); i < Math.min(this.frequencyHz.length, near + 2); i++) {
      if (this.#free[i] === 1) continue;
      if (hz >= this.#fromHz[i]! && hz <= this.#toHz[i]!) return true;
      if (Math.abs(this.frequencyHz[i]! - hz) <= this.matchSigma * Math.hypot(this.sigmaHz[i]!, sigmaHz)) return true;
    }
    return false;
  }
}

/** Lines on either side that make the local density. */
const NEIGHBOURS = [6, 20];
/** The smallest errors used for matching, as in attribution. */
const SMALLEST_SIGMA_WIDTHS = 0.03;
const HUMP_CENTRE_SHARE = 0.1;
