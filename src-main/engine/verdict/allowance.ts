import type { Band } from '../../model/band.ts';
import type { LevelUnit } from '../../model/level-unit.ts';
import type { LimitLine } from '../../model/limit-line.ts';
import type { NotShownReason } from '../../model/verdict.ts';
import type { VerdictSettings } from '../../model/verdict-settings.ts';
import { conversionDb } from '../../units/conversions.ts';
import { meaningOf, type Reading } from './judged-capture.ts';
import { limitAt } from './limit-at.ts';

/** One thing that bounds a line's level. Levels in decibels of the judged capture's unit. */
export interface Allowance {
  readonly kind: 'over the floor' | 'absolute';
  /** The least that is allowed anywhere in a range of band frequencies; Infinity where nothing is demanded. */
  readonly lowest: (lowHz: number, highHz: number) => number;
  /** One standard deviation in dB that counts beside the line's own. */
  readonly sigmaDb: number;
  /** A hump's power in this bandwidth counts; null: its height as measured; Infinity: all of it. */
  readonly humpBandwidthHz: number | null;
}

/** Why something cannot be said. */
export interface Obstacle {
  readonly reason: NotShownReason;
  readonly why: string;
}

export interface Allowances {
  readonly list: readonly Allowance[];
  /** Something is demanded that this capture cannot be held against: it may fall short by the rest, it never holds. */
  readonly obstacle: Obstacle | null;
}

/**
 * What a band, or a limit line in its place, allows a line in one capture.
 *
 * Over the floor: `floor` is the reference floor in the capture's own noise bandwidth. With an integration time t the floor is the
 * channel's noise power B·N after averaging, lower by √(B·t): the allowance falls by 5·log10(B·t) dB (radiometer equation, as in
 * ITU-R RA.769). A reading in more than one channel's width says nothing about one channel and is refused.
 */
export function allowancesOf(
  reading: Reading,
  band: Band,
  limit: LimitLine | null,
  floor: (frequencyHz: number) => number,
  settings: VerdictSettings,
): Allowances {
  const list: Allowance[] = [];
  let obstacle: Obstacle | null = null;
  if (limit !== null) {
    const absolute = ofLimit(reading, limit, settings);
    if ('reason' in absolute) return { list, obstacle: absolute };
    list.push(absolute);
    const touches = absolute.lowest(band.lowHz, band.highHz) < Infinity;
    return touches
      ? { list, obstacle }
      : { list: [], obstacle: noLimit(`${limit.name} sets no limit in ${band.name}`) };
  }
  if (band.allowedOverFloorDb !== null) {
    const over = overFloor(reading, band, floor, settings);
    if ('reason' in over) obstacle = over;
    else list.push(over);
  }
  if (band.allowedLevel !== null && band.allowedUnit !== null) {
    const { allowedLevel } = band;
    const offset = offsetTo(reading, band.allowedUnit);
    if (typeof offset !== 'number') obstacle ??= offset;
    else
      list.push({
        kind: 'absolute',
        lowest: () => allowedLevel + offset,
        sigmaDb: absoluteSigmaDb(reading, settings),
        humpBandwidthHz: band.channelHz ?? Infinity,
      });
  }
  if (list.length === 0) obstacle ??= noLimit(`${band.name} says nothing of what is allowed`);
  return { list, obstacle };
}

function noLimit(why: string): Obstacle {
  return { reason: 'no limit', why };
}

function overFloor(
  reading: Reading,
  band: Band,
  floor: (frequencyHz: number) => number,
  { repeatabilityDb }: VerdictSettings,
): Allowance | Obstacle {
  const overDb = band.allowedOverFloorDb!;
  const channelHz = band.channelHz ?? band.highHz - band.lowHz;
  // a Gaussian filter whose 3 dB width is the channel's has a noise bandwidth 6 % wider: that much is granted
  if (reading.rbwHz > channelHz * 1.001 && reading.isRbwStated)
    return {
      reason: 'bandwidth does not fit',
      why: `its RBW of ${kilohertz(reading.rbwHz)} takes in more than a channel of ${kilohertz(channelHz)}`,
    };
  const integrationS = band.integrationS ?? null;
  let shiftDb = overDb;
  if (integrationS !== null) {
    if (!reading.isRbwStated && reading.unit?.perHz !== true)
      return { reason: 'bandwidth does not fit', why: 'its RBW is not stated, so the noise of a channel is not known' };
    const widthDb = reading.unit?.perHz === true ? 0 : 10 * Math.log10(channelHz / reading.noiseBandwidthHz);
    shiftDb += widthDb - remainingDb(channelHz, integrationS);
  }
  return {
    kind: 'over the floor',
    lowest: (lowHz, highHz) => {
      const ends = highHz > lowHz ? Math.min(floor(lowHz), floor(highHz)) : Infinity;
      return Math.min(ends, floor((lowHz + highHz) / 2)) + shiftDb;
    },
    sigmaDb: Math.hypot(repeatabilityDb, reading.capture.triaged.triage.floor.sigmaDb),
    humpBandwidthHz: integrationS === null ? null : channelHz,
  };
}

/** How far averaging over a time lowers the noise of a channel: 5·log10(B·t) dB. */
export function remainingDb(channelHz: number, integrationS: number): number {
  return 5 * Math.log10(channelHz * integrationS);
}

function ofLimit(reading: Reading, limit: LimitLine, settings: VerdictSettings): Allowance | Obstacle {
  const offset = offsetTo(reading, limit.unit);
  if (typeof offset !== 'number') return offset;
  const edges = limit.stretches.flatMap(({ lowHz, highHz }) => [lowHz, highHz]);
  return {
    kind: 'absolute',
    lowest: (lowHz, highHz) => {
      // between its edges a line is straight: the least stands at an end or an edge
      let lowest = Infinity;
      const look = (hz: number) => (lowest = Math.min(lowest, limitAt(limit, hz) ?? Infinity));
      look(lowHz);
      look(highHz);
      for (const edge of edges) if (edge > lowHz && edge < highHz) look(edge);
      return lowest + offset;
    },
    sigmaDb: absoluteSigmaDb(reading, settings),
    humpBandwidthHz: limit.bandwidths[0]?.bandwidthHz ?? Infinity,
  };
}

function absoluteSigmaDb({ capture }: Reading, { repeatabilityDb, absoluteDb }: VerdictSettings): number {
  return Math.hypot(repeatabilityDb, absoluteDb, capture.triaged.chain?.sigmaDb ?? 0);
}

/** To add to a level in a decibel unit to have it in the capture's; or why that cannot be done. */
function offsetTo(reading: Reading, unitName: string): number | Obstacle {
  const { unit } = reading;
  if (unit === null)
    return { reason: 'no unit', why: 'the capture states no unit, so nothing absolute can be compared' };
  const { meaning, why } = meaningOf(reading);
  // a field or a current is known by its unit: somebody took the transducer's table off
  const isField = /\/m|A|T/.test(unit.name.replace(/^dB/, ''));
  if (meaning === 'relative' && !isField)
    return { reason: isRatio(unit) ? 'no unit' : 'probe reading without transfer', why: why.replace(/\.$/, '') };
  const target: LevelUnit = { name: unitName, scale: 'decibel', perHz: false };
  const flat: LevelUnit = unit.perHz ? { ...unit, name: unit.name.replace(/\/√?Hz$/, ''), perHz: false } : unit;
  const offset = conversionDb(target, flat);
  if (offset === null) return { reason: 'no unit', why: `${unitName} does not convert to the capture’s ${unit.name}` };
  if (!unit.perHz) return offset;
  if (!reading.isRbwStated) return { reason: 'no unit', why: 'levels are densities and no bandwidth is stated' };
  // a line's power in its filter, as a density in that filter
  return offset - 10 * Math.log10(reading.noiseBandwidthHz);
}

/** Decibels over something that the file does not fix. */
function isRatio({ name }: LevelUnit): boolean {
  return /^dB(c|FS)?(\/√?Hz)?$/.test(name);
}

function kilohertz(value: number): string {
  return `${Number((value / 1e3).toPrecision(4))} kHz`;
}
