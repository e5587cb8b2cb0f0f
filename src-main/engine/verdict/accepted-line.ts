import type { Disposition } from '../../model/disposition.ts';
import { conversionDb } from '../../units/conversions.ts';
import { formatDecimal, formatFrequency } from '../../units/format.ts';
import type { BandLine } from './band-lines.ts';
import type { Reading } from './judged-capture.ts';

type LineDisposition = Disposition & { readonly subject: { readonly kind: 'line' } };

export function isOfLine(disposition: Disposition): disposition is LineDisposition {
  return disposition.subject.kind === 'line';
}

/** How far a line that nobody can name may have moved and still be the one accepted, ppm: what a free-running source moves at most. */
const NAMELESS_DRIFT = 2e-3;

/** Is this the line that was accepted? By source and harmonic where both name them, else by frequency. */
export function isAcceptedLine({ subject }: LineDisposition, line: BandLine): boolean {
  const own = line.explanation.cause === 'source' ? line.explanation.candidates[0] : undefined;
  if (subject.source !== null && subject.harmonic !== null)
    return own !== undefined && own.source === subject.source && own.harmonic === subject.harmonic;
  const reachHz = Math.max(3 * line.spur.frequencySigmaHz, NAMELESS_DRIFT * subject.frequencyHz, line.spur.widthHz);
  // a line that is named now is another one than a nameless line unless it stands at the very place
  return Math.abs(line.frequencyHz - subject.frequencyHz) <= (own === undefined ? reachHz : line.spur.widthHz);
}

/**
 * Has an accepted line grown? By more than the doubt of both levels and of two set-ups, one-sided at the confidence of `z`.
 *
 * @returns null where it has not; else one sentence. Levels that do not compare count as grown: nothing shows that it has not.
 */
export function grownWhy(
  { subject }: LineDisposition,
  line: BandLine,
  reading: Reading,
  z: number,
  repeatabilityDb: number,
): string | null {
  const accepted = { name: subject.unit, scale: 'decibel' as const, perHz: subject.unit.endsWith('/Hz') };
  const offset = reading.unit === null ? (subject.unit === 'unknown' ? 0 : null) : conversionDb(accepted, reading.unit);
  const where = formatFrequency(line.frequencyHz);
  if (offset === null)
    return `${where}: accepted in ${subject.unit}, measured in another unit, so nothing shows that it did not grow.`;
  const growth = line.spur.levelDb - (subject.levelDb + offset);
  const allowed = z * Math.hypot(line.spur.levelSigmaDb, subject.levelSigmaDb, Math.SQRT2 * repeatabilityDb);
  if (growth <= allowed) return null;
  return `${where} has grown by ${formatDecimal(growth, 1)} dB since it was accepted, beyond the ${formatDecimal(allowed, 1)} dB that noise and set-up may do: it is open again.`;
}
