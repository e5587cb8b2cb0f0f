import type { Band } from '../../model/band.ts';
import type { LineExplanation } from '../../model/attribution.ts';
import type { Spur } from '../../model/spur.ts';
import type { Allowance } from './allowance.ts';
import { reachInChannels } from './channel-response.ts';
import { inBand, type Image } from './images.ts';
import type { Reading } from './judged-capture.ts';
import { spanOf, type LevelSpan } from './level-span.ts';

/** One line of a capture as it stands in a band. */
export interface BandLine {
  readonly captureId: number;
  readonly spurIndex: number;
  readonly spur: Spur;
  readonly explanation: LineExplanation;
  readonly frequencyHz: number;
  readonly inBandHz: number;
  /** Half its width and its frequency's doubt at the deciding confidence, in Hz. */
  readonly halfWidthHz: number;
  readonly doubtHz: number;
  readonly image: Image;
  /** Level as it counts in the band, decibels of the capture's unit. */
  readonly levelDb: number;
  /** What is allowed there: of several allowances the one that the line exceeds most. */
  readonly allowedDb: number;
  /** Level over what is allowed. */
  readonly over: LevelSpan;
  /** Its middle lies in the band, its doubt counted in. */
  readonly isInside: boolean;
  /** So it does with its whole doubt. */
  readonly isSurelyInside: boolean;
  /** False for what comes from outside or from the measuring kit: it hides the build and is not of it. */
  readonly isOfBuild: boolean;
  /** Somebody accepted it in writing, and it has not grown since. */
  readonly isAccepted: boolean;
}

/** Every line that stands in a band, or leaks into it, directly or as an image. Ascending in the capture's frequency. */
export function bandLines(
  reading: Reading,
  band: Band,
  images: readonly Image[],
  allowances: readonly Allowance[],
  z: number,
): BandLine[] {
  if (allowances.length === 0) return [];
  const { spurs, explanations } = reading.capture.triaged.triage;
  const found: BandLine[] = [];
  spurs.forEach((spur, spurIndex) => {
    for (const image of images) {
      const line = lineIn(reading, band, image, allowances, z, spur, spurIndex, explanations[spurIndex]!);
      if (line !== null) found.push(line);
    }
  });
  return found;
}

function lineIn(
  reading: Reading,
  band: Band,
  image: Image,
  allowances: readonly Allowance[],
  z: number,
  spur: Spur,
  spurIndex: number,
  explanation: LineExplanation,
): BandLine | null {
  const { lowHz, highHz } = band;
  const channelHz = band.channelHz ?? highHz - lowHz;
  const response = band.channelResponse ?? 'sharp';
  const doubtHz = z * spur.frequencySigmaHz;
  const halfWidthHz = spur.shape === 'hump' ? spur.widthHz / 2 : 0;
  // farther than leakage can reach, at any level, nothing is computed
  const farthestHz = halfWidthHz + doubtHz + (response === 'sharp' ? 0 : reachInChannels(response, 200) * channelHz);
  if (spur.frequencyHz < image.lowHz - farthestHz || spur.frequencyHz > image.highHz + farthestHz) return null;
  const inBandHz = inBand(image, spur.frequencyHz);
  const outside = Math.max(0, lowHz - inBandHz, inBandHz - highHz);
  const isInside = outside <= halfWidthHz + doubtHz;
  const at: [number, number] = [
    Math.min(highHz, Math.max(lowHz, inBandHz - halfWidthHz - doubtHz)),
    Math.max(lowHz, Math.min(highHz, inBandHz + halfWidthHz + doubtHz)),
  ];
  const rejectionDb = image.isDirect ? 0 : (band.imageRejectionDb ?? 0);
  let worst: { levelDb: number; allowedDb: number; over: LevelSpan } | null = null;
  for (const allowance of allowances) {
    const levelDb = spur.levelDb - rejectionDb + humpGainDb(spur, reading, allowance);
    const allowedDb = allowance.lowest(...at);
    const over = spanOf(levelDb - allowedDb, z * Math.hypot(spur.levelSigmaDb, allowance.sigmaDb));
    if (worst === null || over.high > worst.over.high) worst = { levelDb, allowedDb, over };
  }
  if (worst === null || worst.allowedDb === Infinity) return null;
  if (!isInside && outside > halfWidthHz + doubtHz + reachInChannels(response, worst.over.high) * channelHz)
    return null;
  return {
    captureId: reading.capture.captureId,
    spurIndex,
    spur,
    explanation,
    frequencyHz: spur.frequencyHz,
    inBandHz,
    halfWidthHz,
    doubtHz,
    image,
    ...worst,
    isInside,
    isSurelyInside: inBandHz - doubtHz >= lowHz && inBandHz + doubtHz <= highHz,
    isOfBuild: explanation.cause !== 'ambient' && explanation.cause !== 'instrument',
    isAccepted: false,
  };
}

/** A hump holds more power than its height in the filter says: as much more as the bandwidth that counts holds filters, up to its own width. */
function humpGainDb(spur: Spur, reading: Reading, { humpBandwidthHz }: Allowance): number {
  if (spur.shape !== 'hump' || humpBandwidthHz === null) return 0;
  return Math.max(0, 10 * Math.log10(Math.min(humpBandwidthHz, spur.widthHz) / reading.noiseBandwidthHz));
}
