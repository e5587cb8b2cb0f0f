import type { LevelScale, LevelUnit } from '../../model/level-unit.ts';
import type { ColumnHeader } from './columns.ts';
import type { Preamble } from './preamble.ts';

export interface DecidedUnit {
  readonly unit: LevelUnit;
  readonly warnings: readonly string[];
}

/** No level in decibels is higher: a hundred kilovolts are 220 dBµV. */
const HIGHEST_DECIBELS = 220;
/** A trace in decibels that stays within this above zero is not believed: see looksLinear. */
const LOWEST_DECIBEL_SPREAD = 0.1;

/**
 * The unit of a level column: what its header says, else what the preamble says of it, else a hint (the column's name, the unit of the
 * reference level, a unit beside the companion), else unknown with a scale by plain rules. Everything but a statement is said.
 */
export function decideUnit(
  level: Float64Array,
  header: ColumnHeader | undefined,
  trace: number,
  traces: number,
  preamble: Preamble,
  beside: LevelUnit | null,
): DecidedUnit {
  const own = header?.levelUnit ?? null;
  const byHeader = own !== null && header?.unitFromName !== true ? own : null;
  const byPreamble = preamble.levelUnitOf(trace, traces);
  const warnings: string[] = [];
  if (byHeader !== null && byPreamble !== null && byHeader.name !== byPreamble.name)
    warnings.push(
      `The file says ${byPreamble.name}, but its column ${header!.name === '' ? '' : `“${header!.name}” `}says ${byHeader.name}: the column is believed.`,
    );
  const stated = byHeader ?? byPreamble;
  if (stated !== null) return checked(stated, level, warnings);
  if (header !== undefined && header.unreadUnit !== null)
    warnings.push(`“${header.unreadUnit}” is no unit known here.`);
  const hint: [LevelUnit, string] | null =
    own !== null
      ? [own, `The unit ${own.name} is taken from the column's name “${header!.name}”; the file states none.`]
      : preamble.referenceUnit !== null
        ? [
            preamble.referenceUnit,
            `The unit ${preamble.referenceUnit.name} is taken from the reference level; the file states none for the trace.`,
          ]
        : beside !== null
          ? [beside, `The unit ${beside.name} is taken from the header file beside it.`]
          : null;
  if (hint !== null) return checked(hint[0], level, [...warnings, hint[1]]);
  return unknownUnit(level, header?.name ?? '', warnings);
}

/** A stated unit, unless the numbers cannot be in it. */
function checked(stated: LevelUnit, level: Float64Array, warnings: readonly string[]): DecidedUnit {
  if (stated.scale === 'decibel' && looksLinear(level))
    return {
      unit: { name: 'unknown', scale: 'power', perHz: stated.perHz },
      warnings: [
        ...warnings,
        `The file says ${stated.name}, but all numbers are positive and very small with little between them: they are taken as linear power of unknown unit.`,
      ],
    };
  if (stated.scale !== 'decibel') {
    const negative = level.reduce((n, v) => (v < 0 ? n + 1 : n), 0);
    if (negative > 0.5 * level.length)
      return {
        unit: { name: 'unknown', scale: 'decibel', perHz: stated.perHz },
        warnings: [
          ...warnings,
          `The file says ${stated.name}, but most numbers are negative: they are taken as decibels of unknown unit.`,
        ],
      };
    if (negative > 0)
      return {
        unit: stated,
        warnings: [...warnings, `${negative} level(s) in ${stated.name} are negative; they have no value in decibels.`],
      };
  }
  if (stated.name === 'dB' || stated.name === 'dB/Hz')
    return {
      unit: stated,
      warnings: [
        ...warnings,
        `The levels are in ${stated.name} without a reference: they cannot be compared with limits.`,
      ],
    };
  return { unit: stated, warnings };
}

/** All positive and below a tenth: no spectrum in decibels lies so close over 0 dB, every linear power does. */
function looksLinear(level: Float64Array): boolean {
  let high = -Infinity;
  for (const v of level) {
    if (v <= 0) return false;
    if (v > high) high = v;
  }
  return high > -Infinity && high < LOWEST_DECIBEL_SPREAD;
}

/** No unit stated: below zero or within what decibels can be → decibels; tiny, huge or over decades → linear. */
export function unknownUnit(level: Float64Array, name: string, warnings: readonly string[]): DecidedUnit {
  let low = Infinity;
  let high = -Infinity;
  for (let i = 0; i < level.length; i++) {
    const v = level[i]!;
    if (v < low) low = v;
    if (v > high) high = v;
  }
  const linear = low >= 0 && (high < 1 || high > HIGHEST_DECIBELS || overDecades(level));
  const scale: LevelScale = !linear
    ? 'decibel'
    : /power|psd|density|leistung|²|\^2/i.test(name)
      ? 'power'
      : 'amplitude';
  const why = !linear
    ? 'The file states no level unit; the numbers look like decibels and are taken so.'
    : `The file states no level unit. All levels are positive and ${high < 1 ? 'small' : 'spread over decades'}: they are taken as linear ${scale === 'power' ? 'power, as the name says' : 'amplitudes'}.`;
  return {
    unit: { name: 'unknown', scale, perHz: false },
    warnings: [...warnings, `${why} Levels cannot be compared with other captures or limits.`],
  };
}

/** Highest over median above 100, from a median below 10: lines over a floor in linear numbers. */
function overDecades(level: Float64Array): boolean {
  const positive = level.filter((v) => v > 0);
  if (positive.length < 10) return false;
  const stride = Math.max(1, Math.floor(positive.length / 20_000));
  const sample = positive.filter((_, i) => i % stride === 0).sort();
  const median = sample[sample.length >> 1]!;
  const high = positive.reduce((a, v) => (v > a ? v : a), 0);
  return median < 10 && high > 100 * median;
}
