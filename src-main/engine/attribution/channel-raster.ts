import type { LineExplanation } from '../../model/attribution.ts';
import { formatFrequency } from '../../units/format.ts';
import type { SupportedComb } from './comb-support.ts';
import type { LineTable } from './line-table.ts';
import type { AcceptedComb } from './selection.ts';

/**
 * Channel spacings of broadcast and radio services, Hz: long and medium wave 9 and 10 kHz, short wave 5 kHz, mobile services 6.25, 8.33,
 * 12.5, 20 and 25 kHz, VHF sound broadcast 50 and 100 kHz. Common practice of the services, from memory: a hint, never proof.
 */
const SPACINGS_HZ = [5e3, 6.25e3, 25e3 / 3, 9e3, 10e3, 12.5e3, 20e3, 25e3, 50e3, 100e3];
/** Multiples of a spacing that a thinly used stretch can look like. */
const LARGEST_MULTIPLE = 10;
/** A switching source shows more of its harmonics than this where it is seen; stations leave channels empty. A choice of this tool. */
const FULLER_THAN_STATIONS = 0.65;

/**
 * The channel spacing whose stations a comb of nobody may be: its fundamental is a small multiple of one within its uncertainty and the
 * axis's, and much of the stretch is empty. Null otherwise.
 */
export function channelSpacingHz(comb: SupportedComb, axisPpm: number): number | null {
  const { fundamentalHz, sigmaHz } = comb.fit;
  const slackHz = 3 * sigmaHz + 1e-6 * axisPpm * fundamentalHz;
  let seen = 0;
  let places = 0;
  for (const [j, match] of comb.matches.entries()) {
    const n = comb.firstHarmonic + j;
    if (n < comb.rangeFirst || n > comb.rangeLast) continue;
    places++;
    if (match >= 0) seen++;
  }
  if (seen > FULLER_THAN_STATIONS * places) return null;
  const fits = SPACINGS_HZ.find((spacingHz) => {
    const multiple = Math.round(fundamentalHz / spacingHz);
    return multiple >= 1 && multiple <= LARGEST_MULTIPLE && Math.abs(fundamentalHz - multiple * spacingHz) <= slackHz;
  });
  return fits === undefined ? null : Math.round(fundamentalHz / fits) * fits;
}

/** A stretch of stations on their channels. */
export interface Raster {
  readonly comb: SupportedComb;
  readonly spacingHz: number;
}

/**
 * Splits off the combs that may be stations on their channels: those of nobody, and those in the range of an entry that has a
 * better-supported comb elsewhere in its range.
 */
export function splitRasters(
  combs: readonly AcceptedComb[],
  axisPpm: number,
): { readonly combs: AcceptedComb[]; readonly rasters: readonly Raster[] } {
  const kept: AcceptedComb[] = [];
  const rasters: Raster[] = [];
  for (const accepted of combs) {
    const mayBeStations = accepted.found === null || combs.some((other) => takesItsPlace(other, accepted, axisPpm));
    const spacingHz = mayBeStations ? channelSpacingHz(accepted.comb, axisPpm) : null;
    if (spacingHz === null) kept.push(accepted);
    else rasters.push({ comb: accepted.comb, spacingHz });
  }
  return { combs: kept, rasters };
}

/** Is there a comb on no raster that the entry of another could run at, and that more speaks for? */
function takesItsPlace({ comb }: AcceptedComb, { comb: doubtful, found }: AcceptedComb, axisPpm: number): boolean {
  const { fundamentalHz } = comb.fit;
  return (
    comb.log10Chance < doubtful.log10Chance &&
    fundamentalHz >= found!.scope.lowHz &&
    fundamentalHz <= found!.scope.highHz &&
    channelSpacingHz(comb, axisPpm) === null
  );
}

/** Says of the lines on a raster that nothing else explains that they may be stations. */
export function sayRasters(explanations: readonly LineExplanation[], rasters: readonly Raster[]): LineExplanation[] {
  const out = [...explanations];
  for (const { comb, spacingHz } of rasters)
    for (const line of comb.matches)
      if (line >= 0 && out[line]!.cause === 'unexplained')
        out[line] = {
          ...out[line]!,
          why: `Stands on a raster of ${formatFrequency(spacingHz)} like others here, as stations on their channels do: no source of the build is named.`,
        };
  return out;
}

export function rasterWarning({ comb, spacingHz }: Raster, lines: LineTable): string {
  const on = [...comb.matches].filter((line) => line >= 0);
  const [first, last] = [lines.frequencyHz[on[0]!]!, lines.frequencyHz[on[on.length - 1]!]!];
  return `${on.length} lines between ${formatFrequency(first)} and ${formatFrequency(last)} stand on multiples of ${formatFrequency(spacingHz)}, as stations on their channels do: no comb is claimed from them.`;
}
