import type { Condition } from '../../src-main/model/condition.ts';
import { silentCondition } from '../../src-main/model/silent-condition.ts';
import type { Source } from '../../src-main/model/source.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../../src-main/model/triage-settings.ts';
import { UNKNOWN_SETTINGS } from '../../src-main/model/capture.ts';
import type { Spur } from '../../src-main/model/spur.ts';
import type { Trace } from '../../src-main/model/trace.ts';
import type { Triage } from '../../src-main/model/triage.ts';
import type { TriagedCapture } from '../../src-main/report/triage-document.ts';

export const SOURCE: Source = {
  designator: 'DC-A',
  kind: 'converter',
  nominalHz: 300_000,
  tolerancePpm: null,
  driftPpmPerK: null,
  spreadPpm: null,
  lock: null,
  duty: null,
  riseS: null,
  maxHarmonic: null,
  adjust: null,
  fedBy: null,
  owner: 'ours',
  serial: '',
  notes: '',
};

export const SILENT_CONDITION: Condition = silentCondition('a.csv');

export function spurAt(frequencyHz: number, more: Partial<Spur> = {}): Spur {
  return {
    frequencyHz,
    frequencySigmaHz: 12.5,
    levelDb: -60,
    levelSigmaDb: 0.4,
    floorDb: -90,
    overFloorDb: 30,
    widthHz: 1000,
    shape: 'line',
    peakIndex: 3,
    firstIndex: 2,
    lastIndex: 4,
    crowded: false,
    ...more,
  };
}

export function traceOf(more: Partial<Trace> = {}): Trace {
  return {
    label: '',
    frequencyHz: Float64Array.from({ length: 6 }, (_, i) => 1e6 + i * 100),
    level: Float64Array.from([-90, -91, -89, -60, -90, NaN]),
    unit: { name: 'dBm', scale: 'decibel', perHz: false },
    settings: { ...UNKNOWN_SETTINGS, rbwHz: 1000 },
    ...more,
  };
}

export const TRIAGE: Triage = {
  settings: DEFAULT_TRIAGE_SETTINGS,
  floor: {
    meanDb: new Float64Array(6).fill(-90),
    sigmaDb: 0.1,
    thresholdDb: new Float64Array(6).fill(-80),
    pairThresholdOverFloorDb: 8,
    medianOverMeanDb: 0,
    looks: 13,
    neighbourCorrelation: 0.2,
    statistic: 'robust-spread',
    averages: null,
    pointSpreadDb: 1.2,
    windowPoints: 5,
    falseAlarmProbability: 1e-5,
    falseAlarmsExpected: 0.05,
    weakestDetectableOverFloorDb: 6.5,
    why: 'The averages are unknown, so the spread of the trace itself set the threshold.',
    warnings: ['Only six points.'],
  },
  spurs: [spurAt(1_000_300)],
  explanations: [
    {
      cause: 'source',
      candidates: [{ source: 'DC-A', harmonic: 3, predictedHz: 1_000_290, predictedSigmaHz: 8, chance: 2e-6 }],
      why: 'Third harmonic of DC-A.',
    },
  ],
  combs: [
    {
      source: 'DC-A',
      fundamentalHz: 333_430,
      fundamentalSigmaHz: 2.7,
      harmonicsSeen: [3],
      harmonicsExpected: [3],
      chance: 2e-6,
      couldAlsoBe: ['DC-B'],
    },
  ],
  notSeen: [{ source: 'CLK', reason: 'no harmonic in the span' }],
  warnings: [],
};

export function triagedCapture(more: Partial<TriagedCapture> = {}): TriagedCapture {
  const trace = more.trace ?? traceOf();
  return {
    capture: {
      file: 'a.csv',
      sha256: 'ab'.repeat(32),
      layout: 'two columns',
      traces: [trace],
      warnings: ['Unit guessed by nobody.'],
    },
    trace,
    traceIndex: 0,
    condition: null,
    sources: [SOURCE],
    triage: TRIAGE,
    bands: [],
    warnings: [],
    ...more,
  };
}
