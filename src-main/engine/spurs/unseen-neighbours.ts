/** A peak as far as its surroundings matter. */
export interface Standing {
  readonly frequencyHz: number;
  readonly overFloorDb: number;
}

/** Lines are counted so many line widths to either side. A choice of this tool: teeth of one comb lie 8 and more apart, and a cluster of several is narrower than this. */
const AROUND_WIDTHS = 100;
/** Nearer than this a weaker line is not seen under the skirt of a stronger one; so much of the surroundings is blind. */
const BLIND_WIDTHS = 1.2;
/** Weaker by this at least: a line nearer in level shows as a peak of its own or spoils the fit (see fitLine). A choice of this tool. */
const WEAKER_DB = 15;
/** A line within one width on either side beats with this one through the filter. */
const BEATING_WIDTHS = 2;
/**
 * Of errors of which a share P is useless and the others are normal, 1 + P·Φ(1.5)/(1.5·φ(1.5)) times the normal standard deviation keeps what
 * belongs inside 1.5 of them: 0.8664/(2·1.5·0.1295). First order in P; between one and two standard deviations both shares are then kept best.
 */
const WIDENING = 2.23;

/**
 * By how much the uncertainty of each peak's own noise is widened for lines that nobody can see under it; 1 where none are about.
 *
 * Two steady lines beat, and a line no stronger than the noise already does as much to another's level as the noise. Where such a line
 * lies within a width of a stronger one it makes no peak. How often that is so, the trace's own weaker lines tell: as many lie under a line
 * as lie beside it. The chance is 1 − e^(−density × two widths) (lines at random places), and the widening 1 + 2.23 × that chance.
 *
 * Cost: each peak looks at those within a hundred widths.
 *
 * @param peaks ascending in frequency
 * @returns parallel to `peaks`
 */
export function unseenWidening(
  peaks: readonly Standing[],
  lineWidthHz: number,
  lowHz: number,
  highHz: number,
): Float64Array {
  const reachHz = AROUND_WIDTHS * lineWidthHz;
  const blindHz = BLIND_WIDTHS * lineWidthHz;
  return Float64Array.from(peaks, ({ frequencyHz, overFloorDb }, index) => {
    let weaker = 0;
    for (const direction of [-1, 1])
      for (let k = index + direction; k >= 0 && k < peaks.length; k += direction) {
        const apartHz = Math.abs(peaks[k]!.frequencyHz - frequencyHz);
        if (apartHz > reachHz) break;
        if (apartHz > blindHz && peaks[k]!.overFloorDb < overFloorDb - WEAKER_DB) weaker++;
      }
    const seenHz = Math.min(highHz, frequencyHz + reachHz) - Math.max(lowHz, frequencyHz - reachHz) - 2 * blindHz;
    if (weaker === 0 || !(seenHz > 0)) return 1;
    const chance = -Math.expm1((-BEATING_WIDTHS * lineWidthHz * weaker) / seenHz);
    return 1 + WIDENING * chance;
  });
}
