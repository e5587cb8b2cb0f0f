import type { CalibrationTable, StageKind } from '../../model/calibration.ts';
import type { LevelUnit } from '../../model/level-unit.ts';
import type { Trace } from '../../model/trace.ts';
import { conversionDb } from '../../units/conversions.ts';
import { formatFrequency } from '../../units/format.ts';
import { columnToDecibels } from '../../units/levels.ts';
import { parseLevelUnit } from '../../units/parse-unit.ts';
import { tableAt } from './table-at.ts';

/** What is added to the level for each decibel of the table. */
const SIGN: Readonly<Record<StageKind, 1 | -1>> = {
  transducer: 1,
  probe: -1,
  gain: -1,
  loss: 1,
  attenuation: 1,
  channel: -1,
};

export interface Calibrated {
  /** Levels in decibels of the unit that the chain ends in; NaN where a table does not reach. */
  readonly trace: Trace;
  /** One standard deviation of the chain at each point, the stated uncertainties added in quadrature; NaN where the level is. */
  readonly sigmaDb: Float64Array;
  /** A transducer or probe was among the tables. */
  readonly isFactored: boolean;
  readonly warnings: readonly string[];
}

/** Why a chain cannot be applied. */
export interface ChainRefused {
  readonly found: string;
  readonly expected: string;
  readonly wayOut: string;
}

/**
 * Takes a trace through the stages of a chain, from the analyser's input outwards: E = V + AF + loss − gain.
 *
 * The trace that comes in stays as it is, so a chain is taken off by not applying it. Nothing is extrapolated: a point outside a
 * table has no level afterwards, and the warnings say from where to where.
 *
 * @param tables in order; a transducer or probe must be fed with its own unit (converted where a conversion exists)
 * @param impedanceOhm what voltages and powers at the analyser meet in
 * @returns the calibrated trace, or why not: no common unit, or not a single point within the tables
 */
export function applyChain(
  trace: Trace,
  tables: readonly CalibrationTable[],
  impedanceOhm = 50,
): Calibrated | ChainRefused {
  const level = columnToDecibels(trace.level, trace.unit);
  const sigma = new Float64Array(level.length);
  const warnings: string[] = [];
  let unit = decibelUnit(trace.unit);
  for (const table of tables) {
    if (table.units !== null) {
      const change = unitChange(table, table.units, unit, impedanceOhm);
      if ('wayOut' in change) return change;
      if (change.addDb !== 0) for (let i = 0; i < level.length; i++) level[i]! += change.addDb;
      unit = change.unit;
    }
    const originHz = table.axis === 'offset' ? (trace.settings.centreHz ?? null) : 0;
    if (originHz === null)
      return {
        found: `the table ${table.name} against the offset from the tuned frequency, and a trace that does not say it`,
        expected: 'a spectrum of an I/Q record whose centre frequency is stated',
        wayOut: 'State the centre frequency of the record, or use a table against frequency.',
      };
    const outside = addTable(table, trace.frequencyHz, originHz, level, sigma);
    if (outside !== null && outside.points === level.length)
      return {
        found: `no point of the trace within the table ${table.name} (${spanOf(table)})`,
        expected: `a table that reaches from ${formatFrequency(trace.frequencyHz[0]!)} to ${formatFrequency(trace.frequencyHz.at(-1)!)}`,
        wayOut: 'Use a table for this range: a factor is not guessed beyond its rows.',
      };
    if (outside !== null)
      warnings.push(
        `The table ${table.name} reaches from ${spanOf(table)}: ${outside.points} of ${level.length} points, from ${formatFrequency(outside.lowHz)} to ${formatFrequency(outside.highHz)}, lie outside it and have no level.`,
      );
    if (table.uncertaintyDb === null)
      warnings.push(`The table ${table.name} states no uncertainty: levels are less certain than is said.`);
  }
  return {
    trace: { ...trace, level, unit, settings: freedOf(trace, tables) },
    sigmaDb: sigma.map((variance, i) => (Number.isNaN(level[i]!) ? NaN : Math.sqrt(variance))),
    isFactored: tables.some(({ kind }) => kind === 'transducer' || kind === 'probe'),
    warnings,
  };
}

export function isChainRefused(result: Calibrated | ChainRefused): result is ChainRefused {
  return 'wayOut' in result;
}

/** Adds one table in place; the variance of its values goes to `variance`. Says what lay outside. */
function addTable(
  table: CalibrationTable,
  frequencyHz: Float64Array,
  originHz: number,
  level: Float64Array,
  variance: Float64Array,
): { points: number; lowHz: number; highHz: number } | null {
  const sign = SIGN[table.kind];
  let points = 0;
  let [lowHz, highHz] = [Infinity, -Infinity];
  for (let i = 0; i < level.length; i++) {
    const at = tableAt(table, frequencyHz[i]! - originHz);
    if (at === null) {
      points++;
      lowHz = Math.min(lowHz, frequencyHz[i]!);
      highHz = Math.max(highHz, frequencyHz[i]!);
      level[i] = NaN;
    } else {
      level[i]! += sign * at.valueDb;
      variance[i]! += (at.sigmaDb ?? 0) ** 2;
    }
  }
  return points === 0 ? null : { points, lowHz, highHz };
}

function unitChange(
  { name, kind }: CalibrationTable,
  units: { readonly from: string; readonly to: string },
  unit: LevelUnit,
  impedanceOhm: number,
): { readonly addDb: number; readonly unit: LevelUnit } | ChainRefused {
  const from = parseLevelUnit(units.from);
  const to = parseLevelUnit(units.to);
  if (from === null || to === null)
    return {
      found: `the table ${name} from “${units.from}” to “${units.to}”`,
      expected: 'decibel units such as dBµV and dBµV/m',
      wayOut: 'Correct the units of the table.',
    };
  const addDb = conversionDb(unit, from, impedanceOhm);
  if (addDb === null)
    return {
      found: `levels in ${unit.name}`,
      expected: `levels in ${from.name}, which the ${kind} ${name} is fed by, or a unit that can be converted to it`,
      wayOut: 'State the unit of the capture, or take this table out of the chain.',
    };
  return { addDb, unit: { ...to, scale: 'decibel' } };
}

/** The unit that decibels of a column are in: V becomes dBV. */
function decibelUnit(unit: LevelUnit): LevelUnit {
  if (unit.scale === 'decibel') return unit;
  const base = unit.name.replace('²', '').replace(/\/√?Hz$/, '');
  const name = /^[VAW]$/.test(base)
    ? `dB${base}`
    : /^(µ|m|n)V$|^(µ|m)A$/.test(base)
      ? `dB${base}`
      : base === 'mW'
        ? 'dBm'
        : null;
  return name === null
    ? { name: 'unknown', scale: 'decibel', perHz: unit.perHz }
    : { name: unit.perHz ? `${name}/Hz` : name, scale: 'decibel', perHz: unit.perHz };
}

function spanOf({ frequencyHz, axis }: Pick<CalibrationTable, 'frequencyHz' | 'axis'>): string {
  const span = `${formatFrequency(frequencyHz[0]!)} to ${formatFrequency(frequencyHz.at(-1)!)}`;
  return axis === 'offset' ? `${span} off the tuned frequency` : span;
}

/** The trace's settings with the names of the channel responses that its levels are free of now. */
function freedOf({ settings }: Trace, tables: readonly CalibrationTable[]): Trace['settings'] {
  const names = tables.filter(({ kind }) => kind === 'channel').map(({ name }) => name);
  return names.length === 0 ? settings : { ...settings, channelResponse: names.join(', ') };
}
