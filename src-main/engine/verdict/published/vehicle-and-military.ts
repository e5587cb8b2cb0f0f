import { FROM_MEMORY, type LimitDetector, type LimitLine } from '../../../model/limit-line.ts';
import { CISPR_BANDWIDTHS, MIL_BANDWIDTHS } from './receiver-bandwidths.ts';
import { inMhz } from './stretches.ts';

/** CISPR 25 class 5, voltage method: `[low, high, peak, quasi-peak (null: none), average]`; limits stand only inside these bands. */
const CLASS_5: readonly (readonly [number, number, number, number | null, number])[] = [
  [0.15, 0.3, 70, 57, 50],
  [0.53, 1.8, 54, 41, 34],
  [5.9, 6.2, 53, 40, 33],
  [26, 28, 44, 31, 24],
  [30, 54, 44, 31, 24],
  [41, 88, 34, null, 24],
  [68, 87, 38, 25, 18],
  [76, 108, 38, 25, 18],
];

function vehicle(detector: LimitDetector, column: 2 | 3 | 4): LimitLine {
  return {
    name: `CISPR 25 class 5, voltage method, ${detector}`,
    unit: 'dBµV',
    stretches: inMhz(
      CLASS_5.filter((row) => row[column] !== null).map((row) => [row[0], row[1], row[column] as number]),
    ),
    detector,
    bandwidths: CISPR_BANDWIDTHS,
    distanceM: null,
    document: 'CISPR 25, editions of 2008 and 2016, table 5, voltage method, class 5',
    isConfirmed: false,
    origin: FROM_MEMORY,
  };
}

/** Relaxation over the 28 V curve by supply voltage. 6 dB at 115 V was read in public test procedures. */
const RELAXATION_DB: readonly (readonly [string, number])[] = [
  ['28 V', 0],
  ['115 V', 6],
  ['220 V', 9],
  ['270 V', 10],
  ['440 V', 12],
];

/** Emission limits of vehicles and of military equipment, all from memory. */
export const VEHICLE_AND_MILITARY: readonly LimitLine[] = [
  vehicle('peak', 2),
  vehicle('quasi-peak', 3),
  vehicle('average', 4),
  ...RELAXATION_DB.map(([supply, relaxedDb]): LimitLine => ({
    name: `MIL-STD-461 CE102, ${supply}`,
    unit: 'dBµV',
    stretches: inMhz([
      [0.01, 0.5, 94 + relaxedDb, 60 + relaxedDb],
      [0.5, 10, 60 + relaxedDb],
    ]),
    detector: 'peak',
    bandwidths: MIL_BANDWIDTHS,
    distanceM: null,
    document: 'MIL-STD-461G, CE102, figure CE102-1',
    isConfirmed: false,
    origin: FROM_MEMORY,
  })),
  {
    name: 'MIL-STD-461 RE102, aircraft, external',
    unit: 'dBµV/m',
    // +20 dB a decade above 100 MHz; the figure prints 69 at 18 GHz
    stretches: inMhz([
      [2, 100, 24],
      [100, 18_000, 24, 24 + 20 * Math.log10(180)],
    ]),
    detector: 'peak',
    bandwidths: MIL_BANDWIDTHS,
    distanceM: 1,
    document: 'MIL-STD-461G, RE102, figure RE102-3, fixed wing external and helicopters',
    isConfirmed: false,
    origin: FROM_MEMORY,
  },
];
