import type { LevelUnit } from '../../model/level-unit.ts';
import { nearestIndex } from './columns.ts';
import type { Reading } from './judged-capture.ts';

/** Steps of the table, even in log frequency: 0.3 % over four decades, far finer than the window of any floor. */
const STEPS = 4096;

/** The lowest floor of several captures taken alike, as decibels of their unit per hertz. */
interface FloorTable {
  readonly lowHz: number;
  /** Steps per neper. */
  readonly density: number;
  readonly perHzDb: Float64Array;
}

/**
 * The noise floor that "over the floor" counts from at one measuring point: the lowest that any of the point's captures of the item
 * shows there, as a density, so that a floor that rose never raises what is allowed.
 *
 * Only captures of the same unit and gain are put together, and only where the RBW is stated; the judged capture's own floor always
 * counts. The lowest of several noisy floors lies a little low (a few tenths of a decibel), which counts against the build.
 */
export class ReferenceFloors {
  readonly #readings: readonly Reading[];
  readonly #tables = new Map<string, FloorTable>();

  constructor(ofPoint: readonly Reading[]) {
    this.#readings = ofPoint.filter((reading) => reading.isRbwStated);
  }

  /** Mean noise power in decibels of the reading's unit in its own noise bandwidth; Infinity where nothing was measured. */
  of(reading: Reading): (frequencyHz: number) => number {
    const own = floorOf(reading);
    if (!reading.isRbwStated) return own;
    const table = this.#tableOf(keyOf(reading));
    const widthDb = widthDbOf(reading);
    return (frequencyHz) => {
      const step = Math.round(Math.log(frequencyHz / table.lowHz) * table.density);
      return Math.min(own(frequencyHz), (table.perHzDb[step] ?? Infinity) + widthDb);
    };
  }

  #tableOf(key: string): FloorTable {
    const known = this.#tables.get(key);
    if (known !== undefined) return known;
    const alike = this.#readings.filter((reading) => keyOf(reading) === key);
    const firsts = alike.map(({ capture }) => capture.triaged.trace.frequencyHz);
    const lowHz = Math.min(...firsts.map((column) => column.find((hz) => hz > 0)!));
    const highHz = Math.max(...firsts.map((column) => column[column.length - 1]!));
    const density = STEPS / Math.max(1e-9, Math.log(highHz / lowHz));
    const floors = alike.map((reading) => ({ floor: floorOf(reading), widthDb: widthDbOf(reading) }));
    const perHzDb = Float64Array.from({ length: STEPS + 1 }, (_, step) => {
      const hz = lowHz * Math.exp(step / density);
      return floors.reduce((lowest, { floor, widthDb }) => Math.min(lowest, floor(hz) - widthDb), Infinity);
    });
    const table = { lowHz, density, perHzDb };
    this.#tables.set(key, table);
    return table;
  }
}

function keyOf({ unit, taken }: Reading): string {
  return `${unitName(unit)} ${taken.gainDb}`;
}

function unitName(unit: LevelUnit | null): string {
  return unit === null ? 'none' : `${unit.name} ${unit.scale}`;
}

/** Noise power in the reading's filter over the density; a trace of densities has them already. */
function widthDbOf({ unit, noiseBandwidthHz }: Reading): number {
  return unit?.perHz === true ? 0 : 10 * Math.log10(noiseBandwidthHz);
}

function floorOf({ capture: { triaged }, spacingHz }: Reading): (frequencyHz: number) => number {
  const { frequencyHz } = triaged.trace;
  const { meanDb } = triaged.triage.floor;
  const [first, last] = [frequencyHz[0]!, frequencyHz[frequencyHz.length - 1]!];
  return (hz) => (hz < first - spacingHz || hz > last + spacingHz ? Infinity : meanDb[nearestIndex(frequencyHz, hz)]!);
}
