import type { Source } from '../../../src-main/model/source.ts';

/**
 * The invented scenario "Wren": the receiver of an HF sounder on a stratospheric balloon, its switching sources, and what a team
 * did to it in three weeks. Nothing here was measured; no such payload exists.
 */
export const SEED = 20_260_303;
export const START_HZ = 500e3;
export const SPACING_HZ = 2500;
export const POINTS = 8001;
export const RBW_HZ = 3000;
export const AVERAGES = 32;

/** One source with its register entry and how it radiates in state S0. */
export interface WrenSource {
  readonly entry: Pick<
    Source,
    'designator' | 'kind' | 'nominalHz' | 'tolerancePpm' | 'owner' | 'fedBy' | 'serial' | 'notes'
  > & {
    readonly driftPpmPerK: number | null;
    readonly duty: number | null;
    readonly riseS: number | null;
    readonly adjust: Source['adjust'];
  };
  readonly actualHz: number;
  readonly actualDuty: number;
  readonly actualRiseS: number;
  /** Its strongest line at the receiver port in S0, dBm. */
  readonly strongestDbm: number;
}

export const SOURCES: readonly WrenSource[] = [
  {
    entry: {
      designator: '5V-MAIN',
      kind: 'converter',
      nominalHz: 300e3,
      tolerancePpm: 50_000,
      driftPpmPerK: 180,
      duty: 0.21,
      riseS: 12e-9,
      adjust: { lowHz: 200e3, highHz: 600e3, stepHz: 1000 },
      owner: 'ours',
      fedBy: 'BUS-ISO',
      serial: 'PSU-02',
      notes: 'main 5 V rail, can be synchronised',
    },
    actualHz: 304_713,
    actualDuty: 0.213,
    actualRiseS: 13e-9,
    strongestDbm: -89,
  },
  {
    entry: {
      designator: '3V3-DIG',
      kind: 'converter',
      nominalHz: 520e3,
      tolerancePpm: 50_000,
      driftPpmPerK: 150,
      duty: 0.66,
      riseS: 6e-9,
      adjust: null,
      owner: 'ours',
      fedBy: '5V-MAIN',
      serial: 'DIG-05',
      notes: 'digital rail beside the receiver board',
    },
    actualHz: 531_246,
    actualDuty: 0.655,
    actualRiseS: 6e-9,
    strongestDbm: -92,
  },
  {
    entry: {
      designator: 'BUS-ISO',
      kind: 'converter',
      nominalHz: 225e3,
      tolerancePpm: 50_000,
      driftPpmPerK: 210,
      duty: 0.45,
      riseS: 35e-9,
      adjust: null,
      owner: 'ours',
      fedBy: null,
      serial: 'PSU-01',
      notes: 'isolated converter at the bus input',
    },
    actualHz: 219_582,
    actualDuty: 0.452,
    actualRiseS: 35e-9,
    strongestDbm: -88,
  },
  {
    entry: {
      designator: 'HEAT-PWM',
      kind: 'other',
      nominalHz: 62.5e3,
      tolerancePpm: 30_000,
      driftPpmPerK: null,
      duty: null,
      riseS: 1e-6,
      adjust: { lowHz: 20e3, highHz: 100e3, stepHz: 500 },
      owner: 'ours',
      fedBy: 'BUS-ISO',
      serial: '',
      notes: 'pulse-width control of the enclosure heater',
    },
    actualHz: 63_311,
    actualDuty: 0.37,
    actualRiseS: 900e-9,
    strongestDbm: -80,
  },
  {
    entry: {
      designator: 'XO',
      kind: 'clock',
      nominalHz: 4.096e6,
      tolerancePpm: 25,
      driftPpmPerK: null,
      duty: null,
      riseS: null,
      adjust: null,
      owner: 'ours',
      fedBy: '3V3-DIG',
      serial: 'DIG-05',
      notes: 'crystal oscillator of the digitiser',
    },
    actualHz: 4_096_031,
    actualDuty: 0.47,
    actualRiseS: 2e-9,
    strongestDbm: -88,
  },
  {
    entry: {
      designator: 'HOST-28V',
      kind: 'converter',
      nominalHz: 132e3,
      tolerancePpm: 70_000,
      driftPpmPerK: null,
      duty: null,
      riseS: null,
      adjust: null,
      owner: 'host',
      fedBy: null,
      serial: '',
      notes: 'gondola bus converter: not ours, cannot be changed',
    },
    actualHz: 128_352,
    actualDuty: 0.31,
    actualRiseS: 160e-9,
    strongestDbm: -80,
  },
];

/** In the register, but not running in any of these captures. */
export const IDLE_SOURCES: readonly WrenSource['entry'][] = [
  {
    designator: 'VALVE-DRV',
    kind: 'other',
    nominalHz: 88e3,
    tolerancePpm: 40_000,
    driftPpmPerK: null,
    duty: null,
    riseS: null,
    adjust: null,
    owner: 'ours',
    fedBy: 'BUS-ISO',
    serial: '',
    notes: 'vent valve drive, runs for seconds in flight only',
  },
];

/** Stations that leak into the laboratory, in every capture of the item and with all sources off. */
export const AMBIENT: readonly { readonly frequencyHz: number; readonly levelDbm: number }[] = [
  { frequencyHz: 711e3, levelDbm: -92 },
  { frequencyHz: 1_053e3, levelDbm: -99 },
  { frequencyHz: 1_296e3, levelDbm: -88 },
  { frequencyHz: 1_431e3, levelDbm: -101 },
  { frequencyHz: 3_955e3, levelDbm: -104 },
  { frequencyHz: 6_015e3, levelDbm: -98 },
  { frequencyHz: 6_130e3, levelDbm: -103 },
  { frequencyHz: 7_265e3, levelDbm: -94 },
  { frequencyHz: 9_580e3, levelDbm: -100 },
  { frequencyHz: 9_735e3, levelDbm: -96 },
  { frequencyHz: 11_865e3, levelDbm: -102 },
  { frequencyHz: 13_560.02e3, levelDbm: -90 },
  { frequencyHz: 15_420e3, levelDbm: -105 },
  { frequencyHz: 17_745e3, levelDbm: -103 },
];

/** Residual lines of the analyser itself: there with its input terminated. */
export const INSTRUMENT: readonly { readonly frequencyHz: number; readonly levelDbm: number }[] = [
  { frequencyHz: 10e6 + 3, levelDbm: -106 },
  { frequencyHz: 5_369_140, levelDbm: -108 },
  { frequencyHz: 18_874_300, levelDbm: -107 },
];

/** What is different from S0 in one capture. */
export interface WrenCapture {
  readonly file: string;
  readonly state: string;
  readonly role: 'item' | 'off' | 'terminated';
  readonly takenAt: string;
  readonly temperatureC: number;
  /** Change of each source's level against S0, dB; sources left out are unchanged. */
  readonly changesDb: Readonly<Record<string, number>>;
  /** Change of each source's frequency against S0, ppm; a crystal stays. */
  readonly movesPpm: Readonly<Record<string, number>>;
  /** A part of the band with a higher floor. */
  readonly raisedFloor: { readonly lowHz: number; readonly highHz: number; readonly byDb: number } | null;
}

const S2_CHANGES = { '3V3-DIG': 7 };
const S3_CHANGES = { ...S2_CHANGES, '5V-MAIN': -15 };
const S4_CHANGES = { ...S3_CHANGES, 'BUS-ISO': -14 };

function item(file: string, state: string, takenAt: string, more: Partial<WrenCapture> = {}): WrenCapture {
  return {
    file,
    state,
    role: 'item',
    takenAt,
    temperatureC: 22,
    changesDb: {},
    movesPpm: {},
    raisedFloor: null,
    ...more,
  };
}

export const CAPTURES: readonly WrenCapture[] = [
  item('terminated.csv', 'S0', '2026-03-03T08:40:00Z', { role: 'terminated' }),
  item('all-off.csv', 'S0', '2026-03-03T09:05:00Z', { role: 'off' }),
  item('s0-as-built-1.csv', 'S0', '2026-03-03T09:30:00Z'),
  item('s0-as-built-2.csv', 'S0', '2026-03-03T09:36:00Z', {
    movesPpm: { '5V-MAIN': 60, '3V3-DIG': -40, 'BUS-ISO': 90, 'HOST-28V': 30 },
  }),
  item('s0-as-built-3.csv', 'S0', '2026-03-03T09:42:00Z', {
    movesPpm: { '5V-MAIN': 110, '3V3-DIG': -70, 'BUS-ISO': 170, 'HOST-28V': -45 },
  }),
  item('s1-ferrite-on-heater.csv', 'S1', '2026-03-06T14:10:00Z', {
    temperatureC: 23,
    movesPpm: { '5V-MAIN': 1400, '3V3-DIG': 900, 'BUS-ISO': -1900, 'HEAT-PWM': 300, 'HOST-28V': 2600 },
  }),
  item('s2-longer-strap.csv', 'S2', '2026-03-10T10:25:00Z', {
    temperatureC: 21,
    changesDb: S2_CHANGES,
    movesPpm: { '5V-MAIN': -2300, '3V3-DIG': 3100, 'BUS-ISO': 800, 'HEAT-PWM': -200, 'HOST-28V': -1500 },
  }),
  item('s3-shield-can.csv', 'S3', '2026-03-13T16:50:00Z', {
    temperatureC: 24,
    changesDb: S3_CHANGES,
    movesPpm: { '5V-MAIN': 9800, '3V3-DIG': 2200, 'BUS-ISO': 2900, 'HEAT-PWM': 150, 'HOST-28V': 4100 },
    raisedFloor: { lowHz: 8e6, highHz: 14e6, byDb: 14 },
  }),
  item('s4-choke-at-bus.csv', 'S4', '2026-03-18T11:15:00Z', {
    temperatureC: 22,
    changesDb: S4_CHANGES,
    movesPpm: { '5V-MAIN': 8700, '3V3-DIG': 1500, 'BUS-ISO': 5200, 'HEAT-PWM': -100, 'HOST-28V': -900 },
  }),
  item('s5-choke-out-again.csv', 'S5', '2026-03-20T13:30:00Z', {
    temperatureC: 22,
    changesDb: S3_CHANGES,
    movesPpm: { '5V-MAIN': 9100, '3V3-DIG': 1900, 'BUS-ISO': 1200, 'HEAT-PWM': 80, 'HOST-28V': 700 },
  }),
];

export const POINT_NAME = 'receiver port';

/** What `wren.json` says: the build as the register keeps it. */
export const BUILD = {
  title: 'Wren, HF sounder receiver (invented demonstration)',
  points: [
    {
      name: POINT_NAME,
      kind: 'receiver-port',
      where: 'antenna port of the receiver board, preamplifier on',
      coupling: 'direct, 50 Ω, DC block and 3 dB pad',
      conductors: 'inner conductor against screen',
      orientation: '',
      heightM: null,
      bonding: 'chassis strap to the bench plane',
      notes: 'Invented. Pad first, supply on second: a switched-on supply can spike into the analyser.',
    },
    {
      name: 'bus harness',
      kind: 'current-probe',
      where: '28 V harness, 50 mm from connector J1',
      coupling: 'clamp-on probe',
      conductors: 'plus and return together',
      orientation: 'arrow away from the payload',
      heightM: 0.05,
      bonding: 'probe screen to the bench plane',
      notes: 'Invented. No captures yet.',
    },
  ],
  states: [
    state('S0', null, 'as built', '2026-03-03T09:00:00Z', []),
    state('S1', 'S0', 'ferrite on the heater leads', '2026-03-06T14:00:00Z', ['ferrite sleeve on heater leads']),
    state('S2', 'S1', 'longer ground strap at the digital board', '2026-03-10T10:00:00Z', ['strap 180 mm']),
    state('S3', 'S2', 'shield can over 5V-MAIN', '2026-03-13T16:30:00Z', ['strap 180 mm', 'shield can over 5V-MAIN']),
    state('S4', 'S3', 'common-mode choke at the bus input', '2026-03-18T11:00:00Z', [
      'strap 180 mm',
      'shield can over 5V-MAIN',
      'common-mode choke at J1',
    ]),
    state('S5', 'S4', 'choke out again: it ran hot', '2026-03-20T13:00:00Z', [
      'strap 180 mm',
      'shield can over 5V-MAIN',
    ]),
  ],
  fixes: [
    {
      from: 'S0',
      to: 'S1',
      change: 'ferrite sleeve on both heater leads',
      sources: ['HEAT-PWM'],
      by: 'bench team',
      at: '2026-03-06T14:00:00Z',
      undoneAt: null,
      notes: 'Invented. Wrong frequency range for the sleeve.',
    },
    {
      from: 'S1',
      to: 'S2',
      change: 'ground strap of the digital board replaced by a longer one',
      sources: ['3V3-DIG'],
      by: 'bench team',
      at: '2026-03-10T10:00:00Z',
      undoneAt: null,
      notes: 'Invented. Needed for access to the connector.',
    },
    {
      from: 'S2',
      to: 'S3',
      change: 'shield can over 5V-MAIN',
      sources: ['5V-MAIN'],
      by: 'bench team',
      at: '2026-03-13T16:30:00Z',
      undoneAt: null,
      notes: 'Invented. Something next door raised the floor from 8 to 14 MHz while this was taken.',
    },
    {
      from: 'S3',
      to: 'S4',
      change: 'common-mode choke at the bus input',
      sources: ['BUS-ISO'],
      by: 'bench team',
      at: '2026-03-18T11:00:00Z',
      undoneAt: '2026-03-20T13:00:00Z',
      notes: 'Invented. Taken out again because it ran hot in vacuum.',
    },
  ],
  events: [
    {
      kind: 'rework',
      description: 'Invented. Connector J1 reworked before S2.',
      at: '2026-03-09T15:00:00Z',
      after: 'S1',
    },
  ],
  requirements: [
    {
      code: 'RX-010',
      text: 'While sounding, at least 65 in 100 channels of each band are clean at room temperature.',
      bands: ['low', 'middle', 'high'],
      demand: { kind: 'clean-channels', atLeast: 0.65, as: 'share' },
      limit: null,
      modes: ['sounding'],
      temperatures: [{ lowC: 15, highC: 30 }],
      points: [POINT_NAME],
    },
    {
      code: 'RX-020',
      text: 'No line of the payload above the input limit while sounding.',
      bands: ['low', 'middle', 'high'],
      demand: { kind: 'strongest-line' },
      limit: 'Wren input limit',
      modes: ['sounding'],
      temperatures: [{ lowC: 15, highC: 30 }],
      points: [POINT_NAME],
    },
    {
      code: 'RX-030',
      text: 'The same in the cold of the float.',
      bands: ['middle'],
      demand: { kind: 'strongest-line' },
      limit: 'Wren input limit',
      modes: ['sounding'],
      temperatures: [{ lowC: -50, highC: -30 }],
      points: [POINT_NAME],
    },
  ],
  dispositions: [
    {
      subject: { kind: 'not-exercised', source: 'VALVE-DRV' },
      reason: 'Invented. The vent valve runs for seconds in ascent, never while sounding.',
      approver: 'build lead',
      at: '2026-03-19T09:00:00Z',
      scope: { serials: [], modes: ['sounding'], bands: [], points: [], temperature: null },
      from: null,
      until: null,
      expiresOn: null,
    },
    {
      subject: {
        kind: 'line',
        source: 'XO',
        harmonic: 1,
        frequencyHz: 4_096_038,
        levelDb: -88,
        levelSigmaDb: 0.4,
        unit: 'dBm',
      },
      reason: 'Invented. The digitiser’s own clock: the channel at 4.096 MHz is not used.',
      approver: 'receiver lead',
      at: '2026-03-05T15:00:00Z',
      scope: { serials: ['RX-03'], modes: ['sounding'], bands: ['middle'], points: [], temperature: null },
      from: 'S0',
      until: null,
      expiresOn: '2027-03-05',
    },
    {
      subject: {
        kind: 'line',
        source: '3V3-DIG',
        harmonic: 10,
        frequencyHz: 5_312_485,
        levelDb: -100.8,
        levelSigmaDb: 0.2,
        unit: 'dBm',
      },
      reason: 'Invented. Weak enough beside the echo as it stood in S0.',
      approver: 'receiver lead',
      at: '2026-03-05T15:20:00Z',
      scope: { serials: [], modes: ['sounding'], bands: ['middle'], points: [], temperature: null },
      from: 'S0',
      until: null,
      expiresOn: null,
    },
  ],
} as const;

/** The limit that the invented requirements name. */
export const LIMITS_CSV = `name,unit,frequency_hz,level,detector,document
Wren input limit,dBm,1000000,-76,average,"Wren interface sheet 3 (invented), table 2"
,,4000000,-86,,
,,20000000,-90,,
`;

function state(name: string, parent: string | null, description: string, at: string, fitted: readonly string[]) {
  return {
    name,
    description,
    parent,
    at,
    configuration: [
      { item: 'receiver board', serial: 'RX-03', revision: 'B', detail: '' },
      { item: 'power board', serial: 'PSU-02', revision: 'A', detail: '' },
      { item: 'lid', serial: '', revision: '', detail: 'closed, 0.6 N·m' },
      ...fitted.map((detail) => ({ item: 'fitted', serial: '', revision: '', detail })),
    ],
  };
}

/** Receive bands of the invented sounder. */
export const BANDS_CSV = `name,low_hz,high_hz,channel_hz,channel_origin_hz,allowed_over_floor_db,allowed_level,allowed_unit,weight,sample_rate_hz,local_oscillator_hz
low,1500000,4000000,20000,,6,,,1,,
middle,4000000,9000000,20000,,6,,,2,,
high,9000000,18000000,20000,,6,,,1,,
`;
