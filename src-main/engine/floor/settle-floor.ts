import { maskedMedian } from './masked-median.ts';
import { maskLines, sidesOf, type Spread } from './mask-lines.ts';

/** Points above the floor by this many spreads are left out of the next pass. */
const MASK_SPREADS = 2.8;
const PASSES = 4;
/** A trace whose noise scatters by more than this many times what its averages explain may be full of lines. A choice of this tool. */
const TOO_WIDE = 1.35;
/** So few points left below the mark, and the median may stand on lines instead of noise. A choice of this tool. */
const TOO_FEW_LEFT = 0.6;

/** Where the median of the noise lies, which points were set aside, and how the others scatter about it. */
export interface SettledFloor {
  readonly medianDb: Float64Array;
  /** 1: a line, or blank. */
  readonly masked: Uint8Array;
  readonly spread: Spread;
}

interface Trace {
  readonly levelDb: Float64Array;
  /** 1: blank. */
  readonly blank: Uint8Array;
  readonly windowPoints: number;
  readonly rbwPoints: number;
}

/**
 * The running median of what is no line. Where lines cover so much that the median of everything may stand on them, it is sought once
 * more from below: from the eighth of the points that lie lowest. The lower of the two stands where its points scatter less, as
 * noise alone does; a trace that is not crowded keeps the plain one.
 *
 * @param expectedSpreadDb scatter that the stated averages explain, or null where they do not say
 */
export function settleFloor(trace: Trace, expectedSpreadDb: number | null): SettledFloor {
  const { levelDb, blank, windowPoints } = trace;
  const startDb = maskedMedian(levelDb, blank, windowPoints);
  const plain = settleFrom(trace, startDb, sidesOf(levelDb, startDb, blank).lowerDb);
  if (!isCrowded(plain, blank, expectedSpreadDb)) return plain;
  const low = lowStart(trace);
  const fromBelow = settleFrom(trace, low.medianDb, low.spreadDb);
  const left = fromBelow.masked.reduce((sum, one) => sum + 1 - one, 0);
  const isBetter =
    left >= Math.max(50, 0.03 * levelDb.length) && fromBelow.spread.lowerDb < plain.spread.lowerDb / 1.15;
  return isBetter ? fromBelow : plain;
}

function settleFrom(trace: Trace, startDb: Float64Array, startSpreadDb: number): SettledFloor {
  const { levelDb, blank, windowPoints, rbwPoints } = trace;
  const masked = blank.slice();
  let medianDb = startDb;
  let spread: Spread = { lowerDb: startSpreadDb, upperDb: startSpreadDb };
  let before = -1;
  for (let pass = 0; pass < PASSES; pass++) {
    const heightDb = MASK_SPREADS * Math.max(spread.lowerDb, 1e-3);
    const count = maskLines(levelDb, medianDb, blank, masked, heightDb, rbwPoints);
    // once the marked share stands still to a part in a thousand, so does the floor
    const settled = before >= 0 && Math.abs(count - before) < 1e-3 * levelDb.length;
    medianDb = maskedMedian(levelDb, masked, windowPoints);
    spread = sidesOf(levelDb, medianDb, masked);
    if (settled) break;
    before = count;
  }
  return { medianDb, masked, spread };
}

function isCrowded({ masked, spread }: SettledFloor, blank: Uint8Array, expectedSpreadDb: number | null): boolean {
  let points = 0;
  let left = 0;
  for (let i = 0; i < blank.length; i++) {
    points += 1 - blank[i]!;
    left += 1 - masked[i]!;
  }
  return left < TOO_FEW_LEFT * points || (expectedSpreadDb !== null && spread.lowerDb > TOO_WIDE * expectedSpreadDb);
}

/**
 * A floor from the lowest points alone: the median of those below the median of those below the running median, which is the lower
 * eighth. Of noise alone the eighth lies 1.15 spreads under the median and 0.48 under the quarter (Gaussian, exact); with lines on
 * six points of ten it is the noise's own lower third.
 */
function lowStart({ levelDb, blank, windowPoints }: Trace): { medianDb: Float64Array; spreadDb: number } {
  const kept = blank.slice();
  let levels = maskedMedian(levelDb, kept, windowPoints);
  let above = levels;
  for (let halving = 0; halving < 2; halving++) {
    for (let i = 0; i < levelDb.length; i++) if (!(levelDb[i]! <= levels[i]!)) kept[i] = 1;
    above = levels;
    levels = maskedMedian(levelDb, kept, windowPoints);
  }
  const apart = above
    .map((level, i) => level - levels[i]!)
    .filter(Number.isFinite)
    .sort();
  const spreadDb = (apart[apart.length >> 1] ?? 0) / 0.6;
  return { medianDb: levels.map((level) => level + 0.6 * spreadDb), spreadDb };
}
