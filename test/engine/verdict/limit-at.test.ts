import { expect, test } from 'vitest';
import { demandedBandwidths, limitAt, limitColumn } from '../../../src-main/engine/verdict/limit-at.ts';
import { BUILT_IN_LIMITS } from '../../../src-main/engine/verdict/published/built-in-limits.ts';
import { CONTINUUM_ROWS, harmfulInterference } from '../../../src-main/engine/verdict/published/radio-astronomy.ts';
import {
  EXTERNAL_NOISE,
  externalNoiseFigureDb,
  type NoiseEnvironment,
} from '../../../src-main/engine/verdict/published/external-noise.ts';
import { checkLimitLine } from '../../../src-main/model/check-limit-line.ts';
import { FROM_MEMORY, type LimitLine } from '../../../src-main/model/limit-line.ts';
import { seededRandom } from '../tracking/seeded-random.ts';

function named(name: string): LimitLine {
  const line = BUILT_IN_LIMITS.find((one) => one.name === name);
  if (line === undefined) throw new Error(`no built-in limit ${name}`);
  return line;
}

/** `[MHz, level]`; null: no limit there. */
type Values = readonly (readonly [mhz: number, level: number | null])[];

// Read: a published table of EN 55022 and 47 CFR 18.307(b); the values inside the slope computed from its rule.
const CONDUCTED: Readonly<Record<string, Values>> = {
  'CISPR 32 conducted, class A, quasi-peak': [
    [0.15, 79],
    [0.5, 73], // the lower limit applies at the step
    [5, 73],
    [30, 73],
    [30.001, null],
    [0.149, null],
  ],
  'CISPR 32 conducted, class A, average': [
    [0.3, 66],
    [1, 60],
  ],
  'CISPR 32 conducted, class B, quasi-peak': [
    [0.15, 66],
    [0.2, 63.611],
    [0.25, 61.757],
    [0.3, 60.243], // straight in frequency it would be 61.714
    [0.4, 57.853],
    [0.5, 56],
    [5, 56], // the limit rises to 60 here: the lower applies
    [5.001, 60],
    [30, 60],
  ],
  'CISPR 32 conducted, class B, average': [
    [0.15, 56],
    [0.3, 50.243],
    [0.5, 46],
    [5, 46],
    [30, 50],
  ],
  // Read: 47 CFR 18.307(a)
  '47 CFR 18.307 conducted, induction cooking': [
    [0.009, 110],
    [0.05, 90],
    [0.15, 66], // 80 from below, 66 from above
    [0.1, 90 - (10 * Math.log(2)) / Math.log(3)],
    [0.3, 60.243],
  ],
};

// Read: where the 2012 tables A.4 and A.5 are quoted; 15.109 in µV/m where its table is quoted, in dB computed.
const RADIATED: Readonly<Record<string, Values>> = {
  'CISPR 32 radiated, class B, 10 m, quasi-peak': [
    [30, 30],
    [230, 30],
    [231, 37],
    [1000, 37],
    [1001, null],
  ],
  'CISPR 32 radiated, class B, 3 m, quasi-peak': [
    [100, 40],
    [500, 47],
  ],
  'CISPR 32 radiated, class B, 3 m, average above 1 GHz': [
    [2000, 50],
    [3000, 50],
    [5000, 54],
  ],
  'CISPR 32 radiated, class B, 3 m, peak above 1 GHz': [
    [2000, 70],
    [5000, 74],
  ],
  '47 CFR 15.109 radiated, class B, 3 m': [
    [50, 40],
    [100, 43.52],
    [300, 46.02],
    [970, 53.98],
  ],
  '47 CFR 15.109 radiated, class A, 10 m': [
    [50, 39.08],
    [100, 43.52],
    [300, 46.44],
    [970, 49.54],
  ],
};

// From memory, nobody here opened the documents: computed checks of what was remembered.
const FROM_MEMORY_VALUES: Readonly<Record<string, Values>> = {
  'MIL-STD-461 CE102, 28 V': [
    [0.01, 94],
    [0.02, 87.976],
    [0.05, 80.012],
    [0.1, 73.988],
    [0.2, 67.964],
    [0.3, 64.44],
    [0.5, 60],
    [10, 60],
    [10.1, null],
  ],
  'MIL-STD-461 CE102, 115 V': [[0.05, 86.012]],
  'MIL-STD-461 RE102, aircraft, external': [
    [2, 24],
    [100, 24],
    [200, 30.02],
    [1000, 44],
    [18_000, 69.105],
    [1.9, null],
  ],
  'CISPR 25 class 5, voltage method, peak': [
    [0.2, 70],
    [0.4, null], // limits stand only inside the bands
    [1, 54],
    [6, 53],
    [27, 44],
    [80, 34], // three bands overlap here: the lowest
  ],
  'CISPR 25 class 5, voltage method, quasi-peak': [
    [50, 31], // the television band has no quasi-peak limit
    [60, null],
  ],
  'CISPR 25 class 5, voltage method, average': [
    [0.2, 50],
    [1, 34],
    [6, 33],
    [27, 24],
    [100, 18],
    [20, null],
  ],
  'MIL-STD-461 CE102, 220 V': [[0.05, 89.012]],
  'MIL-STD-461 CE102, 270 V': [[0.05, 90.012]],
  'MIL-STD-461 CE102, 440 V': [[0.05, 92.012]],
  'CISPR 11 group 1 radiated, 30 m, quasi-peak': [
    [100, 30],
    [230, 30],
    [500, 37],
  ],
  'CISPR 11 group 1 conducted, class A above 20 to 75 kVA, quasi-peak': [
    [0.2, 100],
    [1, 86],
    [10, 83.423], // 90 falls to 73 from 5 to 30 MHz
    [30, 73],
  ],
  'CISPR 11 group 1 conducted, class A above 20 to 75 kVA, average': [
    [0.2, 90],
    [1, 76],
    [30, 60],
  ],
  'CISPR 11 group 1 conducted, class A above 75 kVA, quasi-peak': [
    [0.2, 130],
    [1, 125],
    [10, 115],
  ],
  'CISPR 11 group 1 conducted, class A above 75 kVA, average': [
    [0.2, 120],
    [1, 115],
    [10, 105],
  ],
  'CISPR 32 radiated, class A, 10 m, quasi-peak': [
    [100, 40],
    [500, 47],
  ],
  'CISPR 32 radiated, class A, 3 m, quasi-peak': [
    [100, 50],
    [500, 57],
  ],
  'CISPR 32 radiated, class A, 3 m, average above 1 GHz': [
    [2000, 56],
    [5000, 60],
  ],
  'CISPR 32 radiated, class A, 3 m, peak above 1 GHz': [
    [2000, 76],
    [5000, 80],
  ],
  '47 CFR 15.209 radiated, 300 m': [[0.1, 20 * Math.log10(24)]],
  '47 CFR 15.209 radiated, 30 m': [
    [1, 20 * Math.log10(24)],
    [10, 20 * Math.log10(30)],
  ],
};

for (const [origin, lines] of Object.entries({ CONDUCTED, RADIATED, FROM_MEMORY_VALUES }))
  test(`built-in limits have the values of their documents: ${origin}`, () => {
    for (const [name, values] of Object.entries(lines)) {
      const line = named(name);
      expect(line.isConfirmed, name).toBe(origin !== 'FROM_MEMORY_VALUES');
      for (const [mhz, level] of values) {
        const found = limitAt(line, Math.round(mhz * 1e6));
        if (level === null) expect(found, `${name} at ${mhz} MHz`).toBeNull();
        else expect(found, `${name} at ${mhz} MHz`).toBeCloseTo(level, 2);
      }
    }
  });

test('every built-in line is held against figures of its own here', () => {
  const held = new Set(Object.keys({ ...CONDUCTED, ...RADIATED, ...FROM_MEMORY_VALUES }));
  const other = BUILT_IN_LIMITS.map(({ name }) => name).filter((name) => !held.has(name));
  // these follow from tables of their own below
  expect(other.filter((name) => !/^ITU-R (RA\.769|P\.372)/.test(name))).toEqual([]);
});

test('every built-in line is sound, has a document, and says “from memory” unless its values were read', () => {
  expect(new Set(BUILT_IN_LIMITS.map(({ name }) => name)).size).toBe(BUILT_IN_LIMITS.length);
  for (const line of BUILT_IN_LIMITS) {
    expect(checkLimitLine(line), line.name).toBeNull();
    expect(line.document, line.name).not.toBe('');
    if (!line.isConfirmed) expect(line.origin, line.name).toContain(FROM_MEMORY.split(': ')[1]);
  }
});

test('limits whose figures nobody remembers with confidence are not among the built-in ones', () => {
  const names = BUILT_IN_LIMITS.map(({ name }) => name).join('\n');
  expect(names).not.toMatch(/DO-160|ECSS|CE101|GEVS|SMC/);
  // the low end of RE102 and the classes of aircraft are doubtful: nothing below 2 MHz, one curve
  expect(BUILT_IN_LIMITS.filter(({ name }) => name.includes('RE102'))).toHaveLength(1);
});

test('the distance from 3 m to 10 m is 10.46 dB between the two FCC classes’ own distances', () => {
  // 20·log10(10/3) = 10.458 dB, a computed check of 15.109 against itself at 88–216 MHz, where both classes state 150 µV/m
  expect(limitAt(named('47 CFR 15.109 radiated, class A, 10 m'), 100e6)).toBeCloseTo(
    limitAt(named('47 CFR 15.109 radiated, class B, 3 m'), 100e6)!,
    9,
  );
  expect(20 * Math.log10(10 / 3)).toBeCloseTo(10.458, 3);
});

test('receiver bandwidths are those of CISPR 16-1-1, either one at the edge of two ranges', () => {
  const line = named('CISPR 32 conducted, class B, quasi-peak');
  const at = (hz: number) => demandedBandwidths(line, hz).map(({ bandwidthHz }) => bandwidthHz);
  expect(at(100e3)).toEqual([200]);
  expect(at(150e3)).toEqual([200, 9e3]);
  expect(at(1e6)).toEqual([9e3]);
  expect(at(100e6)).toEqual([120e3]);
  expect(at(2e9)).toEqual([1e6]);
});

// ITU-R RA.769-2 rows: two confirmed by a published explanation (408, 611 MHz), the rest computed from the method.
const RA_769: readonly (readonly [
  mhz: number,
  mK: number,
  density: number,
  power: number,
  flux: number,
  spectral: number,
])[] = [
  [13.385, 5006, -221.6, -184.61, -200.63, -247.62],
  [25.61, 972.1, -228.72, -187.93, -198.31, -249.1],
  [73.8, 14.32, -247.04, -195.0, -196.18, -258.22],
  [151.525, 2.734, -254.23, -199.53, -194.47, -259.17],
  [325.3, 0.8704, -259.2, -201.01, -189.31, -257.5],
  [408.05, 0.9624, -258.77, -202.85, -189.18, -255.1],
  [611, 0.7303, -259.96, -202.18, -185.01, -252.79],
  [1413.5, 0.0947, -268.84, -204.52, -180.06, -254.38],
  [1665, 0.1556, -266.68, -206.68, -180.8, -250.8],
  [2695, 0.1556, -266.68, -206.68, -176.61, -246.61],
  [4995, 0.1556, -266.68, -206.68, -171.25, -241.25],
];

test('thresholds of harmful interference to radio astronomy are those of ITU-R RA.769-2', () => {
  for (const [mhz, mK, density, power, flux, spectral] of RA_769) {
    const row = CONTINUUM_ROWS.find(({ frequencyHz }) => frequencyHz === mhz * 1e6)!;
    const found = harmfulInterference(row);
    expect(1e3 * found.fluctuationK, `${mhz} MHz`).toBeCloseTo(mK, mK > 100 ? 0 : 2);
    expect(found.densityDbWPerHz, `${mhz} MHz`).toBeCloseTo(density, 1);
    expect(found.powerDbW, `${mhz} MHz`).toBeCloseTo(power, 1);
    expect(found.fluxDbWPerM2, `${mhz} MHz`).toBeCloseTo(flux, 1);
    expect(found.spectralFluxDbWPerM2Hz, `${mhz} MHz`).toBeCloseTo(spectral, 1);
    expect(limitAt(named('ITU-R RA.769 continuum, power at the input'), mhz * 1e6)).toBeCloseTo(power, 1);
  }
  // a public library's test of the same rows
  expect(harmfulInterference(CONTINUUM_ROWS[5]!).powerDbW).toBeCloseTo(-202.854805, 4);
  expect(harmfulInterference(CONTINUUM_ROWS[10]!).fluxDbWPerM2).toBeCloseTo(-171.253697, 4);
  // 327 MHz line row: 10 kHz, 40 + 60 K; another library has 0.7071 mK here, having taken 10 MHz for 10 kHz
  const line = harmfulInterference({ frequencyHz: 327e6, bandwidthHz: 10e3, antennaK: 40, receiverK: 60 });
  expect(1e3 * line.fluctuationK).toBeCloseTo(22.36, 2);
  expect(line.spectralFluxDbWPerM2Hz).toBeCloseTo(-243.4, 1);
  // 100 times the time: 10 dB less
  const longer = harmfulInterference(CONTINUUM_ROWS[5]!, 200_000);
  expect(longer.powerDbW - harmfulInterference(CONTINUUM_ROWS[5]!).powerDbW).toBeCloseTo(-10, 9);
});

test('spectral-line rows of ITU-R RA.769-2 come out of the same method', () => {
  // computed from the method with inputs from memory; the document prints rounded values
  const rows = [
    [1420e6, 20e3, 3.479, -238.7],
    [1612e6, 20e3, 3.479, -237.6],
    [1665e6, 20e3, 3.479, -237.3],
    [4830e6, 50e3, 2.2, -230],
  ] as const;
  for (const [frequencyHz, bandwidthHz, mK, spectral] of rows) {
    const found = harmfulInterference({ frequencyHz, bandwidthHz, antennaK: 12, receiverK: 10 });
    expect(1e3 * found.fluctuationK, `${frequencyHz} Hz`).toBeCloseTo(mK, 2);
    expect(found.spectralFluxDbWPerM2Hz, `${frequencyHz} Hz`).toBeCloseTo(spectral, 1);
  }
});

test('class B falls by 19.125 dB a decade on mains, CE102 by 20.01 dB', () => {
  const slope = (name: string, lowMhz: number, highMhz: number) =>
    (limitAt(named(name), highMhz * 1e6)! - limitAt(named(name), lowMhz * 1e6)!) / Math.log10(highMhz / lowMhz);
  expect(slope('CISPR 32 conducted, class B, quasi-peak', 0.16, 0.49)).toBeCloseTo(-19.125, 3);
  expect(slope('CISPR 32 conducted, class B, average', 0.16, 0.49)).toBeCloseTo(-19.125, 3);
  expect(slope('MIL-STD-461 CE102, 28 V', 0.011, 0.49)).toBeCloseTo(-20.01, 2);
});

test('a line of flat steps is never interpolated, and the lower side applies at each step', () => {
  // worst-case fields in dBµV/m of a public launch-vehicle guide and its launch site
  const steps: readonly (readonly [lowMhz: number, highMhz: number, level: number])[][] = [
    [
      [1, 2200, 90],
      [2200, 2300, 140],
      [2300, 18_000, 90],
    ],
    [
      [1, 100, 120],
      [100, 400, 132],
      [400, 1200, 140],
      [1200, 1400, 148],
      [1400, 11_000, 146],
      [11_000, 18_000, 120],
    ],
  ];
  for (const rows of steps) {
    const line: LimitLine = {
      ...named('47 CFR 15.109 radiated, class B, 3 m'),
      name: 'steps',
      stretches: rows.map(([low, high, level]) => ({
        lowHz: low * 1e6,
        highHz: high * 1e6,
        lowLevel: level,
        highLevel: level,
      })),
    };
    expect(checkLimitLine(line)).toBeNull();
    rows.forEach(([low, high, level], r) => {
      for (const share of [0.01, 0.3, 0.5, 0.99])
        expect(limitAt(line, 1e6 * low * (high / low) ** share), `${low}–${high} MHz`).toBe(level);
      if (r > 0) expect(limitAt(line, low * 1e6)).toBe(Math.min(level, rows[r - 1]![2]));
    });
    expect(limitAt(line, 0.999e6)).toBeNull();
    expect(limitAt(line, 18_000.1e6)).toBeNull();
  }
});

test('external noise figures are those of ITU-R P.372, and 10 MHz of galactic noise is 230 355 K', () => {
  const table: Readonly<Record<NoiseEnvironment, readonly number[]>> = {
    city: [91.28, 76.8, 63.58, 49.1, 35.88, 29.74, 21.4],
    residential: [86.98, 72.5, 59.28, 44.8, 31.58, 25.44, 17.1],
    rural: [81.68, 67.2, 53.98, 39.5, 26.28, 20.14, 11.8],
    'quiet rural': [68.55, 53.6, 39.95, 25, 11.35, 5.01, -3.6],
    galactic: [64.03, 52, 41.03, 29, 18.03, 12.92, 6],
  };
  const mhz = [0.3, 1, 3, 10, 30, 50, 100];
  for (const [environment, values] of Object.entries(table))
    values.forEach((value, i) =>
      expect(
        externalNoiseFigureDb(environment as NoiseEnvironment, mhz[i]! * 1e6),
        `${environment} ${mhz[i]} MHz`,
      ).toBeCloseTo(value, 2),
    );
  expect(Object.keys(EXTERNAL_NOISE)).toEqual(Object.keys(table));
  expect(290 * 10 ** (externalNoiseFigureDb('galactic', 10e6) / 10)).toBeCloseTo(230_355, -1);
  expect(290 * 10 ** (externalNoiseFigureDb('galactic', 30e6) / 10)).toBeCloseTo(18_409, -1);
  expect(290 * 10 ** (externalNoiseFigureDb('galactic', 100e6) / 10)).toBeCloseTo(1154.5, 0);
  // the line of the same name: figure + kTB in 1 kHz (−143.975 dBm), straight over log frequency as the formula is
  expect(limitAt(named('ITU-R P.372 noise in 1 kHz, galactic'), 10e6)).toBeCloseTo(29 - 143.975, 2);
});

test('the lines of external noise are their figures over k·T·B at every frequency they state', () => {
  for (const environment of Object.keys(EXTERNAL_NOISE) as NoiseEnvironment[]) {
    const line = named(`ITU-R P.372 noise in 1 kHz, ${environment}`);
    for (const { lowHz, highHz } of line.stretches)
      for (const share of [0.001, 0.3, 0.7, 0.999]) {
        const at = lowHz * (highHz / lowHz) ** share;
        expect(limitAt(line, at)).toBeCloseTo(externalNoiseFigureDb(environment, at) - 143.975, 2);
      }
  }
});

test('a slope is straight over log frequency: equal ratios of frequency are equal steps of level, from any seed', () => {
  const random = seededRandom(4);
  for (let i = 0; i < 200; i++) {
    const [lowHz, ratio] = [10 ** (3 + 6 * random()), 1 + 50 * random()];
    const [lowLevel, highLevel] = [100 * random(), 100 * random()];
    const line = {
      ...named('MIL-STD-461 CE102, 28 V'),
      stretches: [{ lowHz, highHz: lowHz * ratio, lowLevel, highLevel }],
    };
    const middle = limitAt(line, lowHz * Math.sqrt(ratio))!;
    expect(middle).toBeCloseTo((lowLevel + highLevel) / 2, 6);
    // published slope of the conducted limit: −19.125 dB a decade
    expect(limitAt(line, lowHz)).toBe(lowLevel);
    expect(limitAt(line, lowHz * ratio)).toBeCloseTo(highLevel, 9);
  }
  const { stretches } = named('CISPR 32 conducted, class B, quasi-peak');
  const [slope] = stretches;
  expect((slope!.highLevel - slope!.lowLevel) / Math.log10(slope!.highHz / slope!.lowHz)).toBeCloseTo(-19.125, 3);
});

test('a column of frequencies gives the limit at each, NaN where there is none', () => {
  const column = limitColumn(named('CISPR 32 conducted, class B, quasi-peak'), Float64Array.of(100e3, 300e3, 40e6));
  expect([...column].map((value) => Number(value.toFixed(3)))).toEqual([NaN, 60.243, NaN]);
});

test('what is wrong with a line is named', () => {
  const line = named('MIL-STD-461 CE102, 28 V');
  const withStretches = (...stretches: LimitLine['stretches']) => checkLimitLine({ ...line, stretches });
  const flat = { lowHz: 1e6, highHz: 2e6, lowLevel: 60, highLevel: 60 };
  expect(withStretches()?.found).toBe('no stretch');
  expect(withStretches({ ...flat, highHz: 1e6 })?.found).toContain('twice');
  expect(withStretches({ ...flat, highHz: 0.5e6 })?.wayOut).toContain('Exchange');
  expect(withStretches({ ...flat, lowHz: 0 })?.expected).toContain('above 0');
  expect(withStretches({ ...flat, lowLevel: NaN })?.expected).toBe('numbers');
  expect(withStretches(flat, { ...flat, lowHz: 0.5e6 })?.found).toContain('after');
  expect(checkLimitLine({ ...line, unit: 'µV' })?.found).toContain('µV');
  expect(checkLimitLine({ ...line, name: ' ' })?.found).toBe('no name');
  expect(withStretches(flat)).toBeNull();
});
