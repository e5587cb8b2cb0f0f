import { FROM_MEMORY, type LimitDetector, type LimitLine } from '../../../model/limit-line.ts';
import { CISPR_BANDWIDTHS } from './receiver-bandwidths.ts';
import { dbFromMicrovolts, inMhz } from './stretches.ts';

function field(
  name: string,
  detector: LimitDetector,
  distanceM: number,
  rows: readonly (readonly number[])[],
  document: string,
  origin: string | null,
): LimitLine {
  return {
    name,
    unit: 'dBµV/m',
    stretches: inMhz(rows),
    detector,
    bandwidths: CISPR_BANDWIDTHS,
    distanceM,
    document,
    isConfirmed: origin !== null,
    origin: origin ?? FROM_MEMORY,
  };
}

const CLASS_B = 'CISPR 32, radiated, class B, tables A.4 and A.5';
const CLASS_A = 'CISPR 32, radiated, class A';
const QUOTED = 'read where the tables of the 2012 edition are quoted';
const PART_15 = '47 CFR 15.109';
const PART_15_READ = 'read where the table of 47 CFR 15.109 is quoted, in µV/m';
const LOW = '47 CFR 15.209, below 30 MHz';

const two = (below: number, above: number) => [
  [30, 230, below],
  [230, 1000, above],
];
const microvolts = (levels: readonly number[]) =>
  [
    [30, 88],
    [88, 216],
    [216, 960],
    [960, 1000],
  ].map(([low, high], i) => [low!, high!, dbFromMicrovolts(levels[i]!)]);

/** Radiated emission. Levels in dBµV/m. */
export const RADIATED: readonly LimitLine[] = [
  field('CISPR 32 radiated, class B, 10 m, quasi-peak', 'quasi-peak', 10, two(30, 37), CLASS_B, QUOTED),
  field('CISPR 32 radiated, class B, 3 m, quasi-peak', 'quasi-peak', 3, two(40, 47), CLASS_B, QUOTED),
  field(
    'CISPR 32 radiated, class B, 3 m, average above 1 GHz',
    'average',
    3,
    [
      [1000, 3000, 50],
      [3000, 6000, 54],
    ],
    CLASS_B,
    QUOTED,
  ),
  field(
    'CISPR 32 radiated, class B, 3 m, peak above 1 GHz',
    'peak',
    3,
    [
      [1000, 3000, 70],
      [3000, 6000, 74],
    ],
    CLASS_B,
    QUOTED,
  ),
  field('CISPR 32 radiated, class A, 10 m, quasi-peak', 'quasi-peak', 10, two(40, 47), CLASS_A, null),
  field('CISPR 32 radiated, class A, 3 m, quasi-peak', 'quasi-peak', 3, two(50, 57), CLASS_A, null),
  field(
    'CISPR 32 radiated, class A, 3 m, average above 1 GHz',
    'average',
    3,
    [
      [1000, 3000, 56],
      [3000, 6000, 60],
    ],
    CLASS_A,
    null,
  ),
  field(
    'CISPR 32 radiated, class A, 3 m, peak above 1 GHz',
    'peak',
    3,
    [
      [1000, 3000, 76],
      [3000, 6000, 80],
    ],
    CLASS_A,
    null,
  ),
  field(
    '47 CFR 15.109 radiated, class B, 3 m',
    'quasi-peak',
    3,
    microvolts([100, 150, 200, 500]),
    PART_15,
    PART_15_READ,
  ),
  field(
    '47 CFR 15.109 radiated, class A, 10 m',
    'quasi-peak',
    10,
    microvolts([90, 150, 210, 300]),
    PART_15,
    PART_15_READ,
  ),
  // E = 2400/f(kHz) µV/m is straight over log frequency, at −20 dB a decade.
  field(
    '47 CFR 15.209 radiated, 300 m',
    'quasi-peak',
    300,
    [[0.009, 0.49, dbFromMicrovolts(2400 / 9), dbFromMicrovolts(2400 / 490)]],
    LOW,
    null,
  ),
  field(
    '47 CFR 15.209 radiated, 30 m',
    'quasi-peak',
    30,
    [
      [0.49, 1.705, dbFromMicrovolts(24_000 / 490), dbFromMicrovolts(24_000 / 1705)],
      [1.705, 30, dbFromMicrovolts(30)],
    ],
    LOW,
    null,
  ),
  {
    ...field('CISPR 11 group 1 radiated, 30 m, quasi-peak', 'quasi-peak', 30, two(30, 37), 'CISPR 11 group 1', null),
    origin: 'read in a program library, not in the document; an older form of class A: check against your edition',
  },
];
