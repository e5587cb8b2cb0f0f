import { allowedDb } from '../../engine/tracking/band-allowance.ts';
import { placeOfUnit } from '../../engine/tracking/level-scale.ts';
import type { Band } from '../../model/band.ts';
import type { LevelUnit } from '../../model/level-unit.ts';
import type { Spur } from '../../model/spur.ts';
import type { SpurBand } from '../../report/spur-document.ts';

/** For each spur the protected band it lies in and how far it stands over what that band allows; null outside all bands. */
export function spurBands(
  spurs: readonly Spur[],
  bands: readonly Band[],
  unit: LevelUnit,
): readonly (SpurBand | null)[] {
  const unitName = placeOfUnit(unit)?.name ?? 'unknown';
  return spurs.map(({ frequencyHz, levelDb, floorDb }) => {
    const band = bands.find(({ lowHz, highHz }) => lowHz <= frequencyHz && frequencyHz <= highHz);
    if (band === undefined) return null;
    const allowed = allowedDb([band], frequencyHz, floorDb, unitName);
    return { name: band.name, overAllowedDb: allowed === null ? null : levelDb - allowed };
  });
}
