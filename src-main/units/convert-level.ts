import type { LevelUnit } from '../model/level-unit.ts';
import { conversionDb, isField, placeOf } from './conversions.ts';

/** What a conversion may need beside the two units; null: nobody said. */
export interface KnownOfTrace {
  readonly impedanceOhm: number | null;
  /** Noise bandwidth of the resolution filter. */
  readonly noiseBandwidthHz: number | null;
}

export type LevelConversion =
  | {
      readonly isDefined: true;
      /** Decibels to add to a level in decibels of its own unit. */
      readonly db: number;
      /** True where a bandwidth was divided out or multiplied in: right for noise, not for a line. */
      readonly isOfNoise: boolean;
    }
  | { readonly isDefined: false; /** Why there is none, as half a sentence. */ readonly why: string };

/**
 * From one unit of level to another, also between a level and a level per hertz: N₀ = N − 10·log10(B) with the noise bandwidth B.
 *
 * P = U²/R, and a density is the power in a band over its width: common practice, no source.
 */
export function convertLevel(from: LevelUnit, to: LevelUnit, known: KnownOfTrace): LevelConversion {
  const no = (why: string): LevelConversion => ({ isDefined: false, why });
  if (from.name === 'unknown') return no('the file does not say what unit its levels have');
  if (from.name === to.name) return { isDefined: true, db: 0, isOfNoise: false };
  const [a, b] = [placeOf(from), placeOf(to)];
  if (a === null || b === null)
    return no(`${(a === null ? from : to).name} is a ratio to something that is not stated`);
  if (a.quantity !== b.quantity && (isField(a) || isField(b)))
    return no('a field strength becomes a voltage only through the antenna’s factor, which a calibration chain holds');
  if (a.quantity !== b.quantity && known.impedanceOhm === null)
    return no(`between ${a.quantity} and ${b.quantity} stands an impedance, and none is stated`);
  if (a.density !== b.density && known.noiseBandwidthHz === null)
    return no('a level per hertz needs the resolution bandwidth, which is not known');
  const db = conversionDb(withoutPerHz(from), withoutPerHz(to), known.impedanceOhm ?? undefined);
  if (db === null) return no(`there is no relation between ${from.name} and ${to.name}`);
  if (a.density === b.density) return { isDefined: true, db, isOfNoise: false };
  const widthDb = 10 * Math.log10(known.noiseBandwidthHz!);
  return { isDefined: true, db: db + (a.density ? widthDb : -widthDb), isOfNoise: true };
}

function withoutPerHz(unit: LevelUnit): LevelUnit {
  return { ...unit, name: unit.name.replace(/\/√?Hz$/, ''), perHz: false };
}
