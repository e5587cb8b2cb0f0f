import type { Source } from '../../../src-main/model/source.ts';
import { buildCase, type Emitter, type ForeignLine } from '../../accuracy/cases/build-case.ts';
import type { AccuracyCase } from '../../accuracy/cases/case.ts';
import { plainSource } from '../../accuracy/cases/random-parts.ts';
import { statedSettings } from '../../accuracy/cases/stated-settings.ts';
import { surroundingsOf } from '../../accuracy/score/surroundings.ts';
import { randomCoupling } from '../../accuracy/simulator/coupling.ts';
import { seededRandom } from '../../accuracy/simulator/random.ts';
import { STEADY, type SweepSetup } from '../../accuracy/simulator/sweep.ts';
import { harmonicDbuV } from '../../accuracy/simulator/trapezoid.ts';
import {
  AMBIENT,
  AVERAGES,
  BANDS_CSV,
  BUILD,
  CAPTURES,
  IDLE_SOURCES,
  INSTRUMENT,
  LIMITS_CSV,
  POINT_NAME,
  POINTS,
  RBW_HZ,
  SEED,
  SOURCES,
  SPACING_HZ,
  START_HZ,
  type WrenCapture,
  type WrenSource,
} from './scenario.ts';

const SETUP: SweepSetup = {
  startHz: START_HZ,
  spacingHz: SPACING_HZ,
  points: POINTS,
  rbwHz: RBW_HZ,
  filter: 'gaussian',
  sweeps: AVERAGES,
  combine: 'power',
  peakLooks: 1,
  overlapping: true,
  roundDb: 0.01,
};
const STOP_HZ = START_HZ + SPACING_HZ * (POINTS - 1);

/** All files of the demonstration, path under its folder → text. The same on every run. */
export function wrenFiles(): Map<string, string> {
  const files = new Map<string, string>();
  files.set('wren.json', json(BUILD));
  files.set('sources.csv', sourcesCsv());
  files.set('bands.csv', BANDS_CSV);
  files.set('limits.csv', LIMITS_CSV);
  files.set('conditions.csv', conditionsCsv());
  const answers = CAPTURES.map((capture, index) => {
    const subject = wrenCase(capture, index);
    files.set(`captures/${capture.file}`, captureCsv(capture, subject));
    return captureAnswer(capture, subject);
  });
  files.set('answers.json', answersJson(answers));
  return files;
}

/** One capture with all that is true of it. */
export function wrenCase(capture: WrenCapture, index: number): AccuracyCase {
  const random = seededRandom(SEED + index);
  const isItem = capture.role === 'item';
  const emitters = isItem ? SOURCES.map((source, i) => emitterOf(source, i, capture)) : [];
  const floorDb = floorOf(capture);
  const foreign: ForeignLine[] = [
    // stations fade a little from capture to capture
    ...(capture.role === 'terminated'
      ? []
      : AMBIENT.map(({ frequencyHz, levelDbm }) => ({
          frequencyHz,
          overFloorDb: levelDbm + random.between(-1.5, 1.5) - floorDb(frequencyHz),
        }))),
    ...INSTRUMENT.map(({ frequencyHz, levelDbm }) => ({ frequencyHz, overFloorDb: levelDbm - floorDb(frequencyHz) })),
  ];
  return buildCase(
    {
      name: capture.file,
      seed: SEED + index,
      setup: SETUP,
      floorDb,
      emitters,
      foreign,
      sources: SOURCES.map(({ entry }) =>
        plainSource(entry.designator, entry.kind, entry.nominalHz, entry.tolerancePpm),
      ),
      settings: statedSettings(SETUP),
      axis: { referencePpm: 0.2, spanPpm: 0 },
    },
    random,
  );
}

/** Mean noise power in the bandwidth, dBm: the receiver's own, falling a little with frequency; less with the input terminated. */
function floorOf(capture: WrenCapture): (frequencyHz: number) => number {
  const raised = capture.raisedFloor;
  const base = capture.role === 'terminated' ? -124 : -119;
  return (frequencyHz) => {
    let db = base + 5 * Math.exp(-frequencyHz / 2.5e6) + 0.35 * Math.sin((2 * Math.PI * frequencyHz) / 7.3e6);
    if (raised !== null) {
      // both ends rise over about 150 kHz
      const edge = (from: number): number => 1 / (1 + Math.exp(-(frequencyHz - from) / 40e3));
      db += raised.byDb * edge(raised.lowHz) * (1 - edge(raised.highHz));
    }
    return db;
  };
}

function emitterOf(source: WrenSource, index: number, capture: WrenCapture): Emitter {
  const name = source.entry.designator;
  // the way to the port is the source's own and stays through all states
  const coupling = randomCoupling(seededRandom(SEED + 100 + index), {
    notches: 1,
    undulationDb: 3,
    slopeDbPerDecade: 12,
  });
  const wave = {
    amplitudeV: 1,
    frequencyHz: source.actualHz,
    duty: source.actualDuty,
    riseS: source.actualRiseS,
  };
  let strongest = -Infinity;
  for (let n = Math.ceil(START_HZ / source.actualHz); n * source.actualHz < STOP_HZ; n++)
    strongest = Math.max(strongest, harmonicDbuV(wave, n) + coupling(n * source.actualHz));
  return {
    name,
    registered: true,
    fundamentalHz: source.actualHz * (1 + 1e-6 * (capture.movesPpm[name] ?? 0)),
    duty: source.actualDuty,
    riseS: source.actualRiseS,
    coupling,
    strongestOverFloorDb: 0,
    absoluteDb: source.strongestDbm - strongest + (capture.changesDb[name] ?? 0),
    wander: STEADY,
  };
}

function captureCsv(capture: WrenCapture, subject: AccuracyCase): string {
  const rows = Array.from(subject.frequencyHz, (hz, i) => `${hz},${subject.levelDb[i]!.toFixed(2)}`);
  return [
    'about,invented demonstration data: nothing here was measured',
    `measured at,${POINT_NAME}`,
    `taken at,${capture.takenAt}`,
    `resolution bandwidth (Hz),${RBW_HZ}`,
    'filter type,3 dB',
    `averages,${AVERAGES}`,
    'averaging type,power',
    'detector,sample',
    'attenuation (dB),0',
    '',
    'frequency (Hz),level (dBm)',
    ...rows,
    '',
  ].join('\n');
}

function conditionsCsv(): string {
  const running = SOURCES.map(({ entry }) => entry.designator);
  const idle = IDLE_SOURCES.map((entry) => entry.designator);
  const rows = CAPTURES.map(({ file, role, state, temperatureC }) => {
    const on = role === 'item' ? running.join(' ') : '';
    const off = role === 'item' ? idle.join(' ') : [...running, ...idle].join(' ');
    const mode = role === 'item' ? 'sounding' : role === 'off' ? 'all off' : 'input terminated';
    return [file, role, POINT_NAME, state, mode, on, off, temperatureC].join(',');
  });
  return ['file,role,point,state,mode,sources_on,sources_off,temperature_c', ...rows, ''].join('\n');
}

function sourcesCsv(): string {
  const columns =
    'designator,kind,nominal_hz,tolerance_ppm,drift_ppm_per_k,spread_ppm,locked_to,lock_numerator,lock_denominator,duty,rise_s,max_harmonic,adjust_low_hz,adjust_high_hz,adjust_step_hz,fed_by,owner,serial,notes';
  const rows = [...SOURCES.map(({ entry }) => entry), ...IDLE_SOURCES].map((entry) =>
    [
      entry.designator,
      entry.kind,
      entry.nominalHz,
      entry.tolerancePpm,
      entry.driftPpmPerK,
      null,
      null,
      null,
      null,
      entry.duty,
      entry.riseS,
      null,
      entry.adjust?.lowHz,
      entry.adjust?.highHz,
      entry.adjust?.stepHz,
      entry.fedBy,
      entry.owner,
      entry.serial,
      `"${entry.notes}"`,
    ]
      .map((cell) => cell ?? '')
      .join(','),
  );
  return [columns, ...rows, ''].join('\n');
}

/** The register's entries as the engine takes them. */
export function wrenSources(): Source[] {
  return [...SOURCES.map(({ entry }) => entry), ...IDLE_SOURCES].map(
    ({ designator, kind, nominalHz, tolerancePpm, ...more }) =>
      plainSource(designator, kind, nominalHz, tolerancePpm, more),
  );
}

interface CaptureAnswer {
  readonly file: string;
  readonly fundamentals: Readonly<Record<string, number>>;
  readonly floor: readonly (readonly [number, number])[];
  readonly lines: readonly (readonly [number, number, number, string, number | null, boolean])[];
}

const AMBIENT_HZ = new Set(AMBIENT.map(({ frequencyHz }) => frequencyHz));

/** Lines of 10 dB and more over the floor, the true floor at a few places, the true fundamentals. */
function captureAnswer(capture: WrenCapture, subject: AccuracyCase): CaptureAnswer {
  const surroundings = surroundingsOf(subject);
  const places = [1e6, 2e6, 3e6, 5e6, 7e6, 9e6, 11e6, 13e6, 15e6, 17e6, 19e6];
  return {
    file: capture.file,
    fundamentals: Object.fromEntries(subject.combs.map(({ name, fundamentalHz }) => [name, round(fundamentalHz, 3)])),
    floor: places.map((hz) => [hz, round(floorOf(capture)(hz), 2)] as const),
    lines: subject.lines
      .map((line, i) => ({ line, clear: surroundings[i]!.clear }))
      .filter(({ line }) => line.overFloorDb >= 10)
      .map(({ line, clear }) => {
        const { owner } = line;
        const isStation = [...AMBIENT_HZ].some((hz) => Math.abs(hz - line.frequencyHz) < 50);
        const name = owner.kind === 'source' ? owner.source : isStation ? 'ambient' : 'instrument';
        const harmonic = owner.kind === 'source' ? owner.harmonic : null;
        return [
          round(line.frequencyHz, 1),
          round(line.levelDb, 2),
          round(line.overFloorDb, 2),
          name,
          harmonic,
          clear,
        ] as const;
      }),
  };
}

/** What each step truly did, per source. */
function steps() {
  const last = (state: string): WrenCapture =>
    CAPTURES.filter((one) => one.state === state && one.role === 'item').at(-1)!;
  return ['S1', 'S2', 'S3', 'S4', 'S5'].map((to, i) => {
    const from = ['S0', 'S1', 'S2', 'S3', 'S4'][i]!;
    const [a, b] = [last(from), last(to)];
    return {
      from,
      to,
      changes_db: Object.fromEntries(
        SOURCES.map(({ entry: { designator } }) => [
          designator,
          (b.changesDb[designator] ?? 0) - (a.changesDb[designator] ?? 0),
        ]),
      ),
      floor_raised: b.raisedFloor,
      floor_was_raised: a.raisedFloor,
    };
  });
}

function answersJson(captures: readonly CaptureAnswer[]): string {
  const lines = captures.map(
    (one) =>
      `  {\n   "file": ${JSON.stringify(one.file)},\n   "fundamentals": ${JSON.stringify(one.fundamentals)},\n   "floor": ${JSON.stringify(one.floor)},\n   "lines": [\n${one.lines
        .map((line) => `    ${JSON.stringify(line)}`)
        .join(',\n')}\n   ]\n  }`,
  );
  return `{
 "about": "True values of the invented captures: what a perfect reading would give.",
 "seed": ${SEED},
 "floor_columns": ["frequency_hz", "mean_noise_dbm"],
 "line_columns": ["frequency_hz", "level_dbm", "over_floor_db", "owner", "harmonic", "clear_of_neighbours"],
 "steps": ${JSON.stringify(steps(), null, 1).replaceAll('\n', '\n ')},
 "captures": [
${lines.join(',\n')}
 ]
}
`;
}

function round(value: number, digits: number): number {
  return Number(value.toFixed(digits));
}

function json(value: unknown): string {
  return `${JSON.stringify(value, null, 1)}\n`;
}
