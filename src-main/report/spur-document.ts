import type { LineExplanation } from '../model/attribution.ts';
import type { LevelUnit } from '../model/level-unit.ts';
import type { Spur } from '../model/spur.ts';
import { fromDecibels } from '../units/levels.ts';

/** The protected band a spur lies in. */
export interface SpurBand {
  readonly name: string;
  /** Its level over what the band allows, negative below; null where the band allows nothing in a unit that compares. */
  readonly overAllowedDb: number | null;
}

/**
 * One spur as the documents carry it: `level` and `floor` in the capture's stated unit, every other figure SI or dB
 * as its name says. The uncertainty of a level is a ratio and stays in dB for linear units too.
 *
 * @param chainSigmaDb what the calibration chain adds to that uncertainty; left out: no chain
 */
export function spurDocument(spur: Spur, explanation: LineExplanation, unit: LevelUnit, chainSigmaDb?: number) {
  return {
    frequency_hz: spur.frequencyHz,
    frequency_sigma_hz: spur.frequencySigmaHz,
    level: fromDecibels(spur.levelDb, unit),
    level_sigma_db: Math.hypot(spur.levelSigmaDb, chainSigmaDb ?? 0),
    ...(chainSigmaDb === undefined ? {} : { level_sigma_of_chain_db: chainSigmaDb }),
    floor: fromDecibels(spur.floorDb, unit),
    over_floor_db: spur.overFloorDb,
    width_hz: spur.widthHz,
    shape: spur.shape,
    cause: explanation.cause,
    candidates: explanation.candidates.map((candidate) => ({
      source: candidate.source,
      harmonic: candidate.harmonic,
      predicted_hz: candidate.predictedHz,
      predicted_sigma_hz: candidate.predictedSigmaHz,
      chance: candidate.chance,
    })),
    why: explanation.why,
    crowded: spur.crowded,
  };
}

export type SpurDocument = ReturnType<typeof spurDocument>;
