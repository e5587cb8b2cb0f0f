/** A stretch of points that belongs to one line or hump. */
export interface Peak {
  readonly peak: number;
  /** First and last point that are its own: up to the saddle to a neighbour, or where it sinks into the floor. */
  readonly first: number;
  readonly last: number;
  /** True where it shares its stretch above the threshold with another peak. */
  readonly crowded: boolean;
}

/** A saddle must lie this many standard deviations under the lower of two peaks to part them. */
const SADDLE_SIGMA = 4.5;
/** … and at least this much, in dB: filter ripple and sweep jitter make smaller dents. A choice of this tool. */
const SADDLE_DB = 1;

/** … or this many, where the lesser stands so far off that no filter's skirt makes it. A choice of this tool: it is over the threshold by itself. */
const APART_SADDLE_SIGMA = 3;
/** So many line widths off … */
const APART_WIDTHS = 2;
/** … and the skirt of the greater, of the widest filter there is, no more than this share of the lesser. Choices of this tool. */
const APART_SHARE = 0.2;

/** What parts two peaks further apart than a filter can spread one line: width of a line in points, and the widest skirt at an offset in widths. */
export interface WidestSkirt {
  readonly widthPoints: number;
  readonly response: (offsetWidths: number) => number;
}

/**
 * Parts every stretch above the threshold into its peaks.
 *
 * A stretch starts at a detected point and extends while the level stays above the
 * floor by one spread. Inside it, peaks are joined from the shallowest saddle up (topographic prominence) until all that
 * are left stand out of the noise of a steady line: saddle lower than the lesser peak by 4.5 standard deviations and 1 dB.
 *
 * @param ratio power over mean noise per point (NaN where blank)
 * @param detected 1 at points that noise alone does not explain, by themselves or together with a neighbour
 * @param variance of the ratio at a line of the given power over mean noise
 * @param skirt null where the width of a line is not known, or its skirts have lobes
 */
export function pickPeaks(
  ratio: Float64Array,
  detected: Uint8Array,
  variance: (signal: number) => number,
  keepAbove: number,
  skirt: WidestSkirt | null = null,
): Peak[] {
  const n = ratio.length;
  const peaks: Peak[] = [];
  let i = 0;
  while (i < n) {
    if (detected[i] === 0) {
      i++;
      continue;
    }
    let first = i;
    while (first > 0 && ratio[first - 1]! > keepAbove) first--;
    let last = i;
    while (last + 1 < n && (ratio[last + 1]! > keepAbove || detected[last + 1] === 1)) last++;
    const previous = peaks[peaks.length - 1];
    if (previous !== undefined && first <= previous.last) first = previous.last + 1;
    if (first > last) {
      i = last + 1;
      continue;
    }
    const parted = partStretch(ratio, first, last, variance, skirt);
    for (const part of parted) {
      let passes = false;
      for (let j = Math.max(part.first, part.peak - 1); j <= Math.min(part.last, part.peak + 1); j++)
        passes ||= detected[j] === 1;
      if (passes) peaks.push({ ...part, crowded: parted.length > 1 });
    }
    i = last + 1;
  }
  return peaks;
}

function partStretch(
  ratio: Float64Array,
  first: number,
  last: number,
  variance: (signal: number) => number,
  skirt: WidestSkirt | null,
): Omit<Peak, 'crowded'>[] {
  // local maxima and the saddles between them
  const tops: number[] = [];
  const saddles: number[] = [];
  let low = first;
  for (let i = first; i <= last; i++) {
    const left = i === first ? -Infinity : ratio[i - 1]!;
    const right = i === last ? -Infinity : ratio[i + 1]!;
    if (ratio[i]! > left && ratio[i]! >= right) {
      if (tops.length > 0) saddles.push(low);
      tops.push(i);
      low = i;
    } else if (ratio[i]! < ratio[low]!) low = i;
  }
  for (;;) {
    let weakest = -1;
    let weakestSigma = Infinity;
    for (let s = 0; s < saddles.length; s++) {
      const lesser = Math.min(ratio[tops[s]!]!, ratio[tops[s + 1]!]!);
      const valley = ratio[saddles[s]!]!;
      const sigma = Math.sqrt(variance(Math.max(0, lesser - 1)) + variance(Math.max(0, valley - 1)));
      const deep = 10 * Math.log10(lesser / Math.max(valley, 1e-12)) >= SADDLE_DB;
      const standing = deep
        ? (lesser - valley) /
          sigma /
          (isApart(ratio, tops[s]!, tops[s + 1]!, skirt) ? APART_SADDLE_SIGMA / SADDLE_SIGMA : 1)
        : 0;
      if (standing < weakestSigma) {
        weakestSigma = standing;
        weakest = s;
      }
    }
    if (weakest < 0 || weakestSigma >= SADDLE_SIGMA) break;
    // the lesser of the two is no peak of its own
    const gone = ratio[tops[weakest]!]! < ratio[tops[weakest + 1]!]! ? weakest : weakest + 1;
    tops.splice(gone, 1);
    const [a, b] = gone === weakest ? [weakest - 1, weakest] : [weakest, weakest + 1];
    // the deeper of the two saddles on either side of the vanished peak stays
    if (a >= 0 && b < saddles.length) saddles.splice(ratio[saddles[a]!]! <= ratio[saddles[b]!]! ? b : a, 1);
    else saddles.splice(a >= 0 ? a : b, 1);
  }
  return tops.map((peak, t) => ({
    peak,
    first: t === 0 ? first : saddles[t - 1]!,
    last: t === tops.length - 1 ? last : saddles[t]!,
  }));
}

/** True where the greater of two peaks cannot have made the lesser by its skirt. */
function isApart(ratio: Float64Array, left: number, right: number, skirt: WidestSkirt | null): boolean {
  if (skirt === null || right - left < APART_WIDTHS * skirt.widthPoints) return false;
  const [a, b] = [ratio[left]! - 1, ratio[right]! - 1];
  return Math.max(a, b) * skirt.response((right - left) / skirt.widthPoints) < APART_SHARE * Math.min(a, b);
}
