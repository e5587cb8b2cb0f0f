import type { Band } from '../../model/band.ts';

/** A range of frequencies at the receiver's input that comes out in the band: directly, folded by sampling, or mixed. */
export interface Image {
  readonly lowHz: number;
  readonly highHz: number;
  /** +1: order kept, −1: reversed. A line at f comes out at `slope · f + offsetHz`. */
  readonly slope: 1 | -1;
  readonly offsetHz: number;
  readonly isDirect: boolean;
  /** `itself`, `image of the local oscillator`, `fold at 40.96 MHz` … */
  readonly name: string;
}

/** Folds are followed up to so many sample rates above the oscillator. A choice of this tool: farther, filters are taken for granted. */
const RATES = 2;

/**
 * All ranges whose lines come out in a band. Real sampling at rate s after mixing with an oscillator at o: a line at f appears where a
 * band frequency g has |f − o| = |k·s ± (g − o)|, so f = o ± (k·s ± (g − o)), k = 0 … (o = 0 without an oscillator, k = 0 without
 * sampling). The zone's edges mirror: adjacent zones reverse the order.
 *
 * The band itself comes first; images ascending. Nothing at or below 0 Hz.
 */
export function imagesOf(band: Band): Image[] {
  const { lowHz, highHz, sampleRateHz, localOscillatorHz } = band;
  const direct: Image = { lowHz, highHz, slope: 1, offsetHz: 0, isDirect: true, name: 'itself' };
  const o = localOscillatorHz ?? 0;
  const found = new Map<string, Image>([['1/0', direct]]);
  // |f − o| = |k·s ± (g − o)| for f and g on either side of the oscillator
  const farthest = sampleRateHz === null ? 0 : Math.ceil((2 * (o + highHz)) / sampleRateHz) + RATES;
  const highest = sampleRateHz === null ? Infinity : Math.max(highHz, o + RATES * sampleRateHz);
  for (let k = 0; k <= farthest; k++)
    for (const side of [1, -1] as const)
      for (const inner of [1, -1] as const) {
        if (localOscillatorHz === null && sampleRateHz === null) continue;
        // f = o + side·(k·s + inner·(g − o)); without an oscillator f must be positive, so both signs are one
        const slope = (side * inner) as 1 | -1;
        const shift = o + side * k * (sampleRateHz ?? 0) - slope * o;
        const image = imageAt(band, slope, shift, highest, k);
        const key = `${slope}/${shift}`;
        if (image !== null && !found.has(key)) found.set(key, image);
      }
  return [direct, ...[...found.values()].filter((image) => !image.isDirect).sort((x, y) => x.lowHz - y.lowHz)];
}

function imageAt(band: Band, slope: 1 | -1, shiftHz: number, highestHz: number, k: number): Image | null {
  const ends = [slope * band.lowHz + shiftHz, slope * band.highHz + shiftHz].sort((x, y) => x - y) as [number, number];
  const lowHz = Math.max(0, ends[0]);
  const highHz = Math.min(ends[1], highestHz);
  if (!(highHz > lowHz)) return null;
  const name =
    k === 0
      ? 'image of the local oscillator'
      : `fold at ${Number(((k * band.sampleRateHz!) / 1e6).toPrecision(6))} MHz${band.localOscillatorHz === null ? '' : ' after mixing'}`;
  // f = slope·g + shift, so g = slope·f − slope·shift
  return { lowHz, highHz, slope, offsetHz: -slope * shiftHz, isDirect: false, name };
}

/** Where a line at a frequency of an image comes out in the band. */
export function inBand(image: Image, frequencyHz: number): number {
  return image.slope * frequencyHz + image.offsetHz;
}

/** The Nyquist zone, from 1, that holds the whole band after mixing; null where the band crosses an edge and folds onto itself. */
export function zoneOf({ lowHz, highHz, sampleRateHz, localOscillatorHz }: Band): number | null {
  if (sampleRateHz === null) return null;
  const o = localOscillatorHz ?? 0;
  if (lowHz < o && o < highHz) return null;
  const ends = [Math.abs(lowHz - o), Math.abs(highHz - o)].sort((x, y) => x - y) as [number, number];
  const half = sampleRateHz / 2;
  const zone = Math.floor(ends[0] / half) + 1;
  return ends[1] <= zone * half ? zone : null;
}
