import type { Source, SourceKind } from './source.ts';

/**
 * Tolerance taken where a source table states none, ± parts per million about nominal.
 *
 * converter: ±100 000 ppm (10 %). Published converter data sheets give −11 %/+14 % over temperature for a free-running
 *   oscillator; common practice, no source, is ±10 % for the type as a whole.
 * clock: ±100 ppm. Common practice, no source: crystal oscillators are sold at ±20 to ±100 ppm all in.
 * other: ±50 000 ppm (5 %). A choice of this tool: nothing is known of the kind.
 */
export const DEFAULT_TOLERANCE_PPM: Readonly<Record<SourceKind, number>> = {
  converter: 100_000,
  clock: 100,
  other: 50_000,
};

/** The tolerance that is used for a source, and whether it was stated. */
export function tolerancePpmOf(source: Source): { tolerancePpm: number; stated: boolean } {
  return source.tolerancePpm === null
    ? { tolerancePpm: DEFAULT_TOLERANCE_PPM[source.kind], stated: false }
    : { tolerancePpm: source.tolerancePpm, stated: true };
}
