import type { InstrumentLine } from '../../model/instrument-line.ts';
import { cosineSumResponse } from '../numeric/cosine-sum-response.ts';
import type { SegmentPlan } from './plan-segments.ts';

/** Points of a spectrum, first and last, the last not before the first. */
export interface BinRange {
  readonly first: number;
  readonly last: number;
}

/** Power of a point over what the side lobes there can be at most, up to which they explain it. A choice of this tool: 3 dB. */
const MOST_OVER_BOUND = 2;
/** Strongest lines that are followed; the rest of a dense spectrum has none stronger. A choice of this tool. */
const MOST_LINES = 500;
/** Additions at most, so that a window with slow side lobes over millions of bins takes no minute. */
const MOST_WORK = 2e8;
/** Bins of the window over which the response is tabled; beyond, side lobes fall by 6 dB an octave or faster. */
const TABLED_BINS = 64;
const BLOCK_POINTS = 512;

/**
 * Points beside strong lines that hold no more than the side lobes of the window can put there.
 *
 * From the strongest line down: its power times the highest response of the window at that distance or beyond bounds its side lobes;
 * bounds add. A point is given where the bound matters against the noise (a quarter of it, or its scatter if that is less) and the
 * point is no stronger than the noise and twice the bound. Lines that are themselves explained raise no bound.
 *
 * @param meanSquare ascending in frequency
 * @param isCircular the spectrum of an I/Q record: what leaves at one end enters at the other
 */
export function sideLobes(input: {
  readonly meanSquare: Float64Array;
  readonly plan: SegmentPlan;
  readonly averages: number;
  readonly isCircular: boolean;
}): readonly BinRange[] {
  const { meanSquare, plan, averages, isCircular } = input;
  const n = meanSquare.length;
  const pointsPerBin = plan.transformPoints / plan.windowPoints;
  const { coefficients } = plan.line;
  const firstOffset = Math.ceil(coefficients.length * pointsPerBin);
  const envelope = envelopeOf(coefficients, pointsPerBin);
  const lift = 1 / cosineSumResponse(0.5 / pointsPerBin, coefficients) ** 2;
  const noise = blockQuartiles(meanSquare);
  const noiseAt = (i: number): number => noise[Math.floor(i / BLOCK_POINTS)]!;
  const share = Math.min(0.25, 1 / Math.sqrt(averages));

  const bound = new Float64Array(n);
  const explained = (i: number): boolean => meanSquare[i]! <= noiseAt(i) + MOST_OVER_BOUND * bound[i]!;
  let work = 0;
  let lines = 0;
  for (const peak of peaksFrom(meanSquare, (i) => meanSquare[i]! * envelope(firstOffset) > share * noiseAt(i))) {
    if (lines >= MOST_LINES || work > MOST_WORK) break;
    if (bound[peak]! > 0 && explained(peak)) continue;
    lines++;
    for (const side of [-1, 1]) {
      for (let d = firstOffset; d < n; d++) {
        const at = peak + side * d;
        const i = isCircular ? (at + n) % n : at;
        if (i < 0 || i >= n) break;
        // the line itself lies up to half a point off its peak, and stands higher than that point
        const lobe = meanSquare[peak]! * lift * envelope(d - 0.5);
        work++;
        if (lobe < share * noiseAt(i)) break;
        bound[i]! += lobe;
      }
    }
  }

  const ranges: { first: number; last: number }[] = [];
  for (let i = 0; i < n; i++) {
    if (bound[i]! === 0 || !explained(i)) continue;
    const open = ranges.at(-1);
    if (open?.last === i - 1) open.last = i;
    else ranges.push({ first: i, last: i });
  }
  return ranges;
}

export function sideLobeLines(
  ranges: readonly BinRange[],
  frequencyHz: Float64Array,
  spacingHz: number,
): readonly InstrumentLine[] {
  return ranges.map(({ first, last }) => ({
    kind: 'side-lobe',
    lowHz: frequencyHz[first]! - spacingHz / 2,
    highHz: frequencyHz[last]! + spacingHz / 2,
    why: 'No stronger than the side lobes that the window puts beside a strong line here; a window with lower side lobes shows whether there is a line.',
  }));
}

/** The highest response at an offset of so many points or more. */
function envelopeOf(coefficients: readonly number[], pointsPerBin: number): (points: number) => number {
  const STEPS = 8;
  const table = new Float64Array(TABLED_BINS * STEPS + 1);
  let highest = 0;
  for (let i = table.length - 1; i >= 0; i--) {
    // an eighth of a bin may miss the top of a lobe by 0.2 dB
    highest = Math.max(highest, 1.05 * cosineSumResponse(i / STEPS, coefficients) ** 2);
    table[i] = highest;
  }
  const last = table[table.length - 1 - STEPS]!;
  return (points) => {
    const bins = points / pointsPerBin;
    return bins < TABLED_BINS - 1 ? table[Math.floor(bins * STEPS)]! : last * ((TABLED_BINS - 1) / bins) ** 2;
  };
}

/** Local maxima that may matter, strongest first. */
function peaksFrom(power: Float64Array, matters: (i: number) => boolean): number[] {
  const peaks: number[] = [];
  for (let i = 0; i < power.length; i++) {
    if (power[i]! < (power[i - 1] ?? 0) || power[i]! <= (power[i + 1] ?? 0)) continue;
    if (matters(i)) peaks.push(i);
  }
  return peaks.sort((a, b) => power[b]! - power[a]!);
}

/** The lower quartile of each block: lines and lobes that fill half of it do not raise it. */
function blockQuartiles(power: Float64Array): Float64Array {
  const blocks = Math.ceil(power.length / BLOCK_POINTS);
  return Float64Array.from({ length: blocks }, (_, b) => {
    const sorted = power.slice(b * BLOCK_POINTS, (b + 1) * BLOCK_POINTS).sort();
    return sorted[sorted.length >> 2]!;
  });
}
