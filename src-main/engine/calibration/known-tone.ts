/** A tone that is known from elsewhere, fed into the chain's far end. */
export interface KnownTone {
  readonly frequencyHz: number;
  /** In the unit that the chain ends in. */
  readonly levelDb: number;
  /** One standard deviation of the generator's level, cables to the chain included. */
  readonly sigmaDb: number;
}

export interface ToneCheck {
  /** Reading through the chain minus the known level. */
  readonly differenceDb: number;
  /** One standard deviation of the difference that the stated uncertainties explain. */
  readonly sigmaDb: number;
  readonly agrees: boolean;
  /** One sentence a reviewer can read. */
  readonly why: string;
}

/** Common practice, no source: two standard deviations, 95 % of Gaussian errors (coverage factor 2 of JCGM 100:2008). */
const COVERAGE = 2;

/**
 * Does a chain give back a tone that is known?
 *
 * @param reading level of the tone through the chain with its own uncertainty (a spur's), in decibels of the tone's unit
 * @param chainSigmaDb of the chain at that frequency
 */
export function checkKnownTone(
  tone: KnownTone,
  reading: { readonly levelDb: number; readonly sigmaDb: number },
  chainSigmaDb: number,
): ToneCheck {
  const differenceDb = reading.levelDb - tone.levelDb;
  const sigmaDb = Math.hypot(tone.sigmaDb, reading.sigmaDb, chainSigmaDb);
  const agrees = Math.abs(differenceDb) <= COVERAGE * sigmaDb;
  return {
    differenceDb,
    sigmaDb,
    agrees,
    why: `The tone reads ${figure(Math.abs(differenceDb))} dB ${differenceDb < 0 ? 'low' : 'high'} where the stated uncertainties allow ±${figure(COVERAGE * sigmaDb)} dB (95 %): the chain ${agrees ? 'is as stated' : 'is not what its tables say'}.`,
  };
}

function figure(value: number): string {
  return value.toFixed(2);
}
