import { FROM_MEMORY, type LimitDetector, type LimitLine } from '../../../model/limit-line.ts';
import { CISPR_BANDWIDTHS } from './receiver-bandwidths.ts';
import { inMhz } from './stretches.ts';

type Rows = readonly (readonly number[])[];

function mains(name: string, detector: LimitDetector, rows: Rows, document: string, origin: string | null): LimitLine {
  return {
    name,
    unit: 'dBµV',
    stretches: inMhz(rows),
    detector,
    bandwidths: CISPR_BANDWIDTHS,
    distanceM: null,
    document,
    isConfirmed: origin !== null,
    origin: origin ?? FROM_MEMORY,
  };
}

const CLASSES = 'CISPR 32 (and 22), conducted on AC mains, 50 µH / 50 Ω network';
const READ = 'read in a published table of EN 55022';
const CLASS_B_QP: Rows = [
  [0.15, 0.5, 66, 56],
  [0.5, 5, 56],
  [5, 30, 60],
];
const COOKING = '47 CFR 18.307(a), induction cooking, conducted on AC mains';
const GROUP_1 = 'CISPR 11 group 1 class A, conducted on AC mains';

/** Conducted emission on AC mains. Levels in dBµV. */
export const CONDUCTED: readonly LimitLine[] = [
  mains(
    'CISPR 32 conducted, class A, quasi-peak',
    'quasi-peak',
    [
      [0.15, 0.5, 79],
      [0.5, 30, 73],
    ],
    CLASSES,
    READ,
  ),
  mains(
    'CISPR 32 conducted, class A, average',
    'average',
    [
      [0.15, 0.5, 66],
      [0.5, 30, 60],
    ],
    CLASSES,
    READ,
  ),
  mains(
    'CISPR 32 conducted, class B, quasi-peak',
    'quasi-peak',
    CLASS_B_QP,
    `${CLASSES}; 47 CFR 15.107 and 18.307(b)`,
    `${READ} and in the text of 47 CFR 18.307(b)`,
  ),
  mains(
    'CISPR 32 conducted, class B, average',
    'average',
    [
      [0.15, 0.5, 56, 46],
      [0.5, 5, 46],
      [5, 30, 50],
    ],
    `${CLASSES}; 47 CFR 15.107 and 18.307(b)`,
    `${READ} and in the text of 47 CFR 18.307(b)`,
  ),
  mains(
    '47 CFR 18.307 conducted, induction cooking',
    'quasi-peak',
    [[0.009, 0.05, 110], [0.05, 0.15, 90, 80], ...CLASS_B_QP],
    COOKING,
    'read in the text of 47 CFR 18.307',
  ),
  ...(
    [
      ['above 20 to 75 kVA', 'quasi-peak', [100, 86, 90, 73]],
      ['above 20 to 75 kVA', 'average', [90, 76, 80, 60]],
      ['above 75 kVA', 'quasi-peak', [130, 125, 115, 115]],
      ['above 75 kVA', 'average', [120, 115, 105, 105]],
    ] as const
  ).map(([power, detector, [low, middle, from, to]]) =>
    mains(
      `CISPR 11 group 1 conducted, class A ${power}, ${detector}`,
      detector,
      [
        [0.15, 0.5, low],
        [0.5, 5, middle],
        [5, 30, from, to],
      ],
      GROUP_1,
      null,
    ),
  ),
];
