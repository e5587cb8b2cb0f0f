import { analyseTrace } from '../../../src-main/engine/analyse.ts';
import type { JudgedCapture, JudgeInput } from '../../../src-main/engine/judge-build.ts';
import type { Band } from '../../../src-main/model/band.ts';
import type { Condition } from '../../../src-main/model/condition.ts';
import type { LimitLine } from '../../../src-main/model/limit-line.ts';
import type { PointKind } from '../../../src-main/model/measuring-point.ts';
import type { Requirement } from '../../../src-main/model/requirement.ts';
import { silentCondition } from '../../../src-main/model/silent-condition.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../../../src-main/model/triage-settings.ts';
import { DEFAULT_VERDICT_SETTINGS } from '../../../src-main/model/verdict-settings.ts';
import type { NotShownReason, Ruling } from '../../../src-main/model/verdict.ts';
import { columnToDecibels } from '../../../src-main/units/levels.ts';
import { handSource } from '../../engine/tracking/hand-triage.ts';
import { simulateTrace, type BenchOptions } from '../../engine/tracking/bench-simulator.ts';
import { seededNormal, seededRandom } from '../../engine/tracking/seeded-random.ts';

/** What was done to one build so that its true verdict is known. */
export const VERDICT_KINDS = [
  'quiet',
  'over',
  'near',
  'noisy',
  'short span',
  'no unit',
  'probe',
  'average for quasi-peak',
  'narrow filter',
  'idle source',
  'station over it',
  'swapped board',
  'fixed since',
  'wrong temperature',
] as const;
export type VerdictKind = (typeof VERDICT_KINDS)[number];

export interface VerdictCase {
  readonly kind: VerdictKind;
  readonly seed: number;
  readonly input: JudgeInput;
  /** What a judge who knows the truth allows to be said. */
  readonly right: readonly { readonly ruling: Ruling; readonly reason: NotShownReason | null }[];
  /** The largest true excess of any line of the build over what is allowed, dB; negative: none. */
  readonly trueExcessDb: number;
}

const LIMIT_DB = -80;
const BAND: Band = {
  name: 'band',
  lowHz: 2e6,
  highHz: 4e6,
  channelHz: 20e3,
  channelOriginHz: null,
  allowedOverFloorDb: null,
  allowedLevel: LIMIT_DB,
  allowedUnit: 'dBm',
  weight: 1,
  sampleRateHz: null,
  localOscillatorHz: null,
};

/**
 * One build with a converter whose lines in the band have known levels, measured with a set-up error drawn from the stated doubts, and
 * exactly one thing wrong with it or its evidence. The spectrum is physics (phasors and complex noise), the triage the engine's own.
 */
export function verdictCase(kind: VerdictKind, seed: number): VerdictCase {
  const random = seededRandom(seed * 977 + VERDICT_KINDS.indexOf(kind) * 31 + 5);
  const normal = seededNormal(random);
  const between = (low: number, high: number) => low + (high - low) * random();
  const { repeatabilityDb, absoluteDb } = DEFAULT_VERDICT_SETTINGS;
  const setUpDb = Math.hypot(repeatabilityDb, absoluteDb) * normal();
  const fundamentalHz = between(290e3, 310e3);
  const source = handSource('U1', 300e3, { tolerancePpm: 50_000 });
  const worstDb =
    LIMIT_DB + (kind === 'over' ? between(9, 20) : kind === 'near' ? between(-1.5, 1.5) : -between(9, 20));
  const harmonics = Array.from({ length: 14 }, (_, i) => i + 4);
  const strongest = harmonics.filter((n) => n * fundamentalHz > 2.05e6 && n * fundamentalHz < 3.95e6)[
    Math.floor(3 * random())
  ]!;
  const trueLines = harmonics.map((n) => ({
    frequencyHz: n * fundamentalHz,
    levelDb: n === strongest ? worstDb : Math.min(worstDb, LIMIT_DB - 9) - between(0, 6),
  }));
  const floorDb = kind === 'noisy' ? LIMIT_DB - between(-4, 4) : LIMIT_DB - between(28, 34);
  const station = { frequencyHz: between(2.2e6, 3.8e6), levelDb: LIMIT_DB + between(10, 25) };
  const options: BenchOptions = {
    startHz: 1e6,
    stopHz: kind === 'short span' ? between(2.3e6, 3.7e6) : 5.2e6,
    points: 1401,
    rbwHz: kind === 'narrow filter' ? 3e3 : 6.4e3,
    averages: 16,
    floorDb: () => floorDb + setUpDb,
    lines: [...trueLines, ...(kind === 'station over it' ? [station] : [])].map((line) => ({
      ...line,
      levelDb: line.levelDb + setUpDb,
    })),
    random,
    unit: kind === 'no unit' ? 'unknown' : 'dBm',
  };
  const point = { name: 'port', kind: (kind === 'probe' ? 'near-field-probe' : 'receiver-port') as PointKind };
  const condition: Condition = { ...silentCondition('a.csv'), temperatureC: kind === 'wrong temperature' ? -20 : 22 };
  const sources = kind === 'idle source' ? [source, handSource('U2', 450e3)] : [source];
  const capture = (
    captureId: number,
    stateId: number,
    more: Partial<BenchOptions>,
    role: Condition['role'],
  ): JudgedCapture => {
    const trace = simulateTrace({ ...options, ...more });
    const taken = { ...condition, role };
    const triage = analyseTrace({ trace, sources, condition: taken, settings: DEFAULT_TRIAGE_SETTINGS });
    return {
      captureId,
      stateId,
      point,
      triaged: {
        trace,
        levelDb: columnToDecibels(trace.level, trace.unit),
        triage,
        condition: taken,
        file: `${captureId}.csv`,
      },
    };
  };
  const earlier = kind === 'swapped board' || kind === 'fixed since';
  const captures = [capture(1, 1, {}, 'item')];
  if (kind === 'station over it')
    captures.push(capture(2, 1, { lines: [{ ...station, levelDb: station.levelDb + setUpDb }] }, 'off'));
  const board = (serial: string) => [{ item: 'power board', serial, revision: '', detail: '' }];
  const demanding: LimitLine = {
    name: 'stated',
    unit: 'dBm',
    stretches: [{ lowHz: 1e6, highHz: 10e6, lowLevel: LIMIT_DB, highLevel: LIMIT_DB }],
    detector: kind === 'average for quasi-peak' ? 'quasi-peak' : 'average',
    bandwidths: [{ lowHz: 1e6, highHz: 10e6, bandwidthHz: 9e3, shape: '6 dB' }],
    distanceM: null,
    document: '',
    isConfirmed: true,
    origin: '',
  };
  const requirement: Requirement = {
    id: 1,
    code: 'R',
    text: '',
    bands: ['band'],
    demand: { kind: 'strongest-line' },
    limit: 'stated',
    modes: [],
    temperatures: [{ lowC: 15, highC: 30 }],
    points: [],
  };
  return {
    kind,
    seed,
    trueExcessDb: worstDb - LIMIT_DB,
    right: RIGHT[kind].map(([ruling, reason]) => ({ ruling, reason })),
    input: {
      stateId: earlier ? 2 : 1,
      states: [
        { id: 1, name: 'S1', description: '', parentId: null, at: '2026-03-01T10:00:00Z', configuration: board('P1') },
        {
          id: 2,
          name: 'S2',
          description: '',
          parentId: 1,
          at: '2026-03-02T10:00:00Z',
          configuration: board(kind === 'swapped board' ? 'P2' : 'P1'),
        },
      ],
      fixes:
        kind === 'fixed since'
          ? [
              {
                id: 1,
                fromStateId: 1,
                toStateId: 2,
                change: 'a choke',
                sources: [],
                by: '',
                at: '2026-03-02T09:00:00Z',
                undoneAt: null,
                notes: '',
              },
            ]
          : [],
      events: [],
      captures,
      sources,
      bands: [BAND],
      limits: [demanding],
      requirements: [requirement],
      dispositions: [],
      settings: DEFAULT_VERDICT_SETTINGS,
      today: '2026-04-01',
    },
  };
}

type Said = readonly [Ruling, NotShownReason | null];
const HOLDS: Said = ['holds', null];
const not = (reason: NotShownReason): Said => ['not shown', reason];
const RIGHT: Readonly<Record<VerdictKind, readonly Said[]>> = {
  quiet: [HOLDS],
  over: [['falls short', null]],
  // within the doubt of the set-up anything but a wrong certainty may be said: bounded by the rates, not case by case
  near: [not('cannot tell'), HOLDS, ['falls short', null]],
  noisy: [not('not sensitive enough')],
  'short span': [not('not measured')],
  'no unit': [not('no unit')],
  probe: [not('probe reading without transfer')],
  'average for quasi-peak': [not('detector does not fit')],
  'narrow filter': [not('bandwidth does not fit')],
  'idle source': [not('not exercised')],
  'station over it': [not('masked')],
  'swapped board': [not('changed item')],
  'fixed since': [not('not measured')],
  'wrong temperature': [not('not measured')],
};
