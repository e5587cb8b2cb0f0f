import type { InstrumentLine } from '../../model/instrument-line.ts';
import type { PeriodogramSums } from './averaged-periodogram.ts';

/** Probability that a record without any image has one marked. A choice of this tool: one in ten thousand records. */
const CHANCE = 1e-4;
/** An image of an unequal I and Q is weaker than its line by at least this. Common practice, no source: 20 dB and more. */
const LEAST_REJECTION_DB = 10;
/** What is left of a bin without its image may stand this far over its surroundings. A choice of this tool: 3 dB, twice the power. */
const MOST_LEFT = 2;
const SURROUNDINGS = 32;

/** Bins of the transform in its own order, first and last, the last not before the first. */
export interface MirrorRange {
  readonly first: number;
  readonly last: number;
}

/**
 * Bins of an I/Q record that show no line but the mirror image of one on the other side of the centre.
 *
 * An unequal gain or a phase error of I and Q adds a small conj(x) to the samples x, so the image is a copy of the line, and
 * X[k]·X[−k] keeps its phase from segment to segment; two lines that are not each other's image turn against each other. The
 * coherence γ² = |Σ X[k]·X[−k]|² / (Σ|X[k]|²·Σ|X[−k]|²) of K independent looks at unrelated powers exceeds g with probability
 * (1 − g)^(K−1) (Carter, Knapp, Nuttall, IEEE Trans. Audio Electroacoust. 21 (1973) 337–344, from memory). A bin is marked where its
 * coherence is beyond chance over all bins, it is at least 10 dB weaker than its mirror, and what the mirror does not explain,
 * (1 − γ²)·|X|², is no more than twice the median around: a line of the build that hides under an image is not waved through.
 *
 * @param effectiveAverages looks that the sums are worth; below 3 nothing can be told and nothing is marked
 */
export function mirrorRanges(
  { power, mirrorRe, mirrorIm }: PeriodogramSums,
  effectiveAverages: number,
): readonly MirrorRange[] {
  const n = power.length;
  const half = n / 2;
  const looks = effectiveAverages - 1;
  if (mirrorRe.length === 0 || looks < 2) return [];
  const least = 1 - (CHANCE / n) ** (1 / looks);
  const marked: number[] = [];
  for (let k = 1; k < half; k++) {
    const m = n - k;
    const [weak, strong] = power[k]! < power[m]! ? [k, m] : [m, k];
    if (!(power[strong]! > power[weak]! * 10 ** (LEAST_REJECTION_DB / 10))) continue;
    const coherence = (mirrorRe[k]! ** 2 + mirrorIm[k]! ** 2) / (power[k]! * power[m]!);
    if (!(coherence > least)) continue;
    if ((1 - coherence) * power[weak]! > MOST_LEFT * medianAround(power, weak)) continue;
    marked.push(weak);
  }
  return joined(marked.sort((a, b) => a - b));
}

/** True where most of the spectrum is its own mirror image: one of the two channels carries nothing of its own. */
export function isAllMirrored({ power, mirrorRe, mirrorIm }: PeriodogramSums, effectiveAverages: number): boolean {
  const n = power.length;
  const looks = effectiveAverages - 1;
  if (mirrorRe.length === 0 || looks < 2) return false;
  const least = 1 - 1e-3 ** (1 / looks);
  let mirrored = 0;
  for (let k = 1; k < n / 2; k++) {
    const coherence = (mirrorRe[k]! ** 2 + mirrorIm[k]! ** 2) / (power[k]! * power[n - k]!);
    if (coherence > least) mirrored++;
  }
  return mirrored > 0.9 * (n / 2 - 1);
}

/** The ranges in hertz with the reason, for the trace. `hzOf` gives the frequency of a bin. */
export function imageLines(
  ranges: readonly MirrorRange[],
  transformPoints: number,
  hzOf: (bin: number) => number,
  spacingHz: number,
): readonly InstrumentLine[] {
  return ranges.map(({ first, last }) => {
    const middle = Math.round((first + last) / 2);
    const mirrorHz = hzOf((transformPoints - middle) % transformPoints);
    return {
      kind: 'image',
      lowHz: hzOf(first) - spacingHz / 2,
      highHz: hzOf(last) + spacingHz / 2,
      why: `Mirror image of the line at ${figure(mirrorHz)} MHz about the receiver’s centre: it keeps that line’s phase throughout the record, as an image of unequal I and Q does and a line of its own does not.`,
    };
  });
}

function figure(hz: number): string {
  return String(Number((hz / 1e6).toFixed(6)));
}

/** Joins neighbouring bins, and across single gaps: between two bins of one image a bin may miss by chance. */
function joined(bins: readonly number[]): MirrorRange[] {
  const ranges: { first: number; last: number }[] = [];
  for (const bin of bins) {
    const open = ranges.at(-1);
    if (open !== undefined && bin - open.last <= 2) open.last = bin;
    else ranges.push({ first: bin, last: bin });
  }
  return ranges;
}

function medianAround(power: Float64Array, bin: number): number {
  const n = power.length;
  const around: number[] = [];
  for (let i = bin - SURROUNDINGS; i <= bin + SURROUNDINGS; i++) around.push(power[(i + n) % n]!);
  return around.sort((a, b) => a - b)[SURROUNDINGS]!;
}
