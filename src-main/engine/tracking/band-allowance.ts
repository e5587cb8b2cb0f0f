import type { Band } from '../../model/band.ts';
import { conversionDb, placeOfUnit } from './level-scale.ts';

/**
 * The most that the bands around a frequency allow a line, in the common decibel unit; null where none says.
 *
 * The strictest of: stated levels that convert to the common unit, and heights over the lower of the two floors (a floor that
 * rose must not raise what is allowed).
 */
export function allowedDb(
  bands: readonly Band[],
  frequencyHz: number,
  lowerFloorDb: number,
  unit: string,
): number | null {
  let strictest: number | null = null;
  const offer = (value: number) => (strictest = strictest === null ? value : Math.min(strictest, value));
  for (const band of bands) {
    if (frequencyHz < band.lowHz || frequencyHz > band.highHz) continue;
    if (band.allowedOverFloorDb !== null) offer(lowerFloorDb + band.allowedOverFloorDb);
    if (band.allowedLevel === null || band.allowedUnit === null) continue;
    const from = placeOfUnit({ name: band.allowedUnit, scale: 'decibel', perHz: false });
    const to = placeOfUnit({ name: unit, scale: 'decibel', perHz: false });
    const conversion = from === null || to === null ? null : conversionDb(from, to);
    if (conversion !== null) offer(band.allowedLevel + conversion.offsetDb);
  }
  return strictest;
}
