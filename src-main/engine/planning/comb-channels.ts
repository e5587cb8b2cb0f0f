import { setBits } from '../numeric/bitset.ts';
import { channelsTouched, type ChannelGrid, type GridBand } from './channel-grid.ts';

/** One comb: every harmonic lies somewhere in n f (1 ± halfWidth). */
export interface CombPlace {
  readonly frequencyHz: number;
  readonly halfWidth: number;
  /** Highest harmonic; null: none is stated. */
  readonly maxHarmonic: number | null;
}

export interface CombReach {
  readonly leakageHz: number;
  readonly foldedHarmonics: number;
}

/**
 * The channels in which a comb may stand, as bits of the grid.
 *
 * In each band, directly and by every path that folds or converts into it:
 *   sampled at fs, no oscillator: f → ±f + k fs;  oscillator LO: f → f and 2 LO − f (the image; its rejection is not known, so it counts
 *   in full);  both: f → f + k fs and 2 LO − f + k fs.
 *
 * Harmonics run up to `maxHarmonic`; where that is not stated up to the top of the band (or of its image), and through folding at
 * least to `foldedHarmonics`.
 */
export function combChannels(comb: CombPlace, grid: ChannelGrid, reach: CombReach): Uint32Array {
  const bits = new Uint32Array(grid.words);
  for (const at of grid.bands) markBand(comb, at, reach, bits);
  return bits;
}

/** Folding is followed no further than this even where a source states more: a comb of that many lines fills any band. */
const MOST_FOLDED = 100_000;

function markBand(comb: CombPlace, at: GridBand, { leakageHz, foldedHarmonics }: CombReach, bits: Uint32Array): void {
  const { lowHz, highHz, sampleRateHz, localOscillatorHz } = at.band;
  const mirrorHz = 2 * (localOscillatorHz ?? 0);
  const toTop = markPath(comb, at, lowHz, highHz, leakageHz, (from, to) => mark(at, from, to, bits));
  const toImage =
    localOscillatorHz === null
      ? 0
      : markPath(comb, at, mirrorHz - highHz, mirrorHz - lowHz, leakageHz, (from, to) =>
          mark(at, mirrorHz - to, mirrorHz - from, bits),
        );
  if (sampleRateHz === null) return;
  // a comb finer than a channel has filled the band already
  if (comb.maxHarmonic === null && comb.frequencyHz <= at.channelHz) return;
  const last = Math.min(comb.maxHarmonic ?? Math.max(toTop, toImage, foldedHarmonics), MOST_FOLDED);
  for (let n = 1; n <= last; n++) {
    const fromHz = n * comb.frequencyHz * (1 - comb.halfWidth) - leakageHz;
    const toHz = n * comb.frequencyHz * (1 + comb.halfWidth) + leakageHz;
    markFolded(at, fromHz, toHz, sampleRateHz, bits);
    markFolded(at, mirrorHz - toHz, mirrorHz - fromHz, sampleRateHz, bits);
    // wider than a zone: everything is hit, and the next harmonics hit no more
    if (toHz - fromHz >= sampleRateHz) return;
  }
}

/**
 * Marks what of a comb lies between two frequencies, by a path that keeps distances.
 *
 * @returns the highest harmonic that reaches under `highHz`, whatever `maxHarmonic` says
 */
function markPath(
  comb: CombPlace,
  { channelHz }: GridBand,
  lowHz: number,
  highHz: number,
  leakageHz: number,
  markRange: (fromHz: number, toHz: number) => void,
): number {
  const { frequencyHz, halfWidth } = comb;
  const up = frequencyHz * (1 + halfWidth);
  const toTop = harmonicAt(highHz + leakageHz, comb);
  const first = Math.max(1, Math.ceil(((lowHz - leakageHz) / up) * (1 - 1e-12)));
  const last = Math.min(comb.maxHarmonic ?? Infinity, toTop);
  for (let n = first; n <= last; n++) {
    const fromHz = n * frequencyHz * (1 - halfWidth) - leakageHz;
    const toHz = n * up + leakageHz;
    // once the next one begins where this one ends, or within its channel, there is no gap any more
    const isClosed = (n + 1) * frequencyHz * (1 - halfWidth) - leakageHz <= toHz || frequencyHz <= channelHz;
    markRange(fromHz, isClosed ? last * up + leakageHz : toHz);
    if (isClosed) break;
  }
  return toTop;
}

/** The highest harmonic whose range begins at or under a frequency. */
function harmonicAt(atHz: number, { frequencyHz, halfWidth }: CombPlace): number {
  const down = frequencyHz * (1 - halfWidth);
  return down > 0 ? Math.floor((atHz / down) * (1 + 1e-12)) : 1e9;
}

function markFolded(at: GridBand, lowHz: number, highHz: number, sampleRateHz: number, bits: Uint32Array): void {
  const first = Math.ceil((at.band.lowHz - highHz) / sampleRateHz - 1e-9);
  const last = Math.floor((at.band.highHz - lowHz) / sampleRateHz + 1e-9);
  for (let k = first; k <= last; k++) mark(at, lowHz + k * sampleRateHz, highHz + k * sampleRateHz, bits);
}

function mark(at: GridBand, lowHz: number, highHz: number, bits: Uint32Array): void {
  const touched = channelsTouched(at, lowHz, highHz);
  if (touched !== null) setBits(bits, at.firstBit + touched[0], at.firstBit + touched[1]);
}
