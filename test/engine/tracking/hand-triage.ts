import type { LineExplanation } from '../../../src-main/model/attribution.ts';
import type { Comb } from '../../../src-main/model/comb.ts';
import type { Condition } from '../../../src-main/model/condition.ts';
import { silentCondition } from '../../../src-main/model/silent-condition.ts';
import type { Source } from '../../../src-main/model/source.ts';
import type { Spur } from '../../../src-main/model/spur.ts';
import type { Trace } from '../../../src-main/model/trace.ts';
import { UNKNOWN_SETTINGS, type CaptureSettings } from '../../../src-main/model/capture.ts';
import type { TriagedTrace } from '../../../src-main/model/triaged-trace.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../../../src-main/model/triage-settings.ts';

/** A line as a hand-written triage says it. */
export interface HandLine {
  readonly hz: number;
  readonly db: number;
  readonly sigmaDb?: number;
  readonly sigmaHz?: number;
  readonly source?: string;
  readonly harmonic?: number;
  /** Points either side of the peak that carry the same level: a hump. */
  readonly humpPoints?: number;
  /** False: in the spectrum but not found. */
  readonly found?: boolean;
}

export interface HandCapture {
  readonly startHz?: number;
  readonly stopHz?: number;
  readonly points?: number;
  readonly rbwHz?: number | null;
  readonly averages?: number;
  readonly floorDb?: number;
  /** Noise as drawn over the floor, dB, per point; the default is a flat trace at the mean noise power. */
  readonly noiseDb?: (index: number, frequencyHz: number) => number;
  readonly lines: readonly HandLine[];
  readonly unit?: string;
  readonly settings?: Partial<CaptureSettings>;
  readonly condition?: Partial<Condition>;
  readonly file?: string;
  readonly statistic?: 'chi-square' | 'robust-spread';
}

/** A capture with a flat floor, Gaussian lines drawn into it, and the triage written by hand: no stage of the engine is used. */
export function handTriage(capture: HandCapture): TriagedTrace {
  const { startHz = 1e6, stopHz = 11e6, points = 2001, averages = 16, floorDb = -100, unit = 'dBm' } = capture;
  const rbwHz = capture.rbwHz === undefined ? 10e3 : capture.rbwHz;
  const step = (stopHz - startHz) / (points - 1);
  const frequencyHz = Float64Array.from({ length: points }, (_, i) => startHz + i * step);
  const power = Float64Array.from(frequencyHz, (f, i) => 10 ** ((floorDb + (capture.noiseDb?.(i, f) ?? 0)) / 10));
  const width = rbwHz ?? 2 * step;
  const spurs: Spur[] = [];
  const explanations: LineExplanation[] = [];
  for (const line of [...capture.lines].sort((x, y) => x.hz - y.hz)) {
    const half = line.humpPoints ?? 0;
    const peakIndex = Math.max(0, Math.min(points - 1, Math.round((line.hz - startHz) / step)));
    const reach = half + Math.ceil((3 * width) / step);
    for (let i = Math.max(0, peakIndex - reach); i <= Math.min(points - 1, peakIndex + reach); i++) {
      const beyond = Math.max(0, Math.abs(frequencyHz[i]! - line.hz) - half * step) / width;
      power[i]! += 10 ** (line.db / 10) * 2 ** (-4 * beyond * beyond);
    }
    if (line.found === false || line.hz < startHz || line.hz > stopHz) continue;
    const skirt = half + Math.ceil(width / step);
    spurs.push({
      frequencyHz: line.hz,
      frequencySigmaHz: line.sigmaHz ?? 0.02 * width,
      levelDb: line.db,
      levelSigmaDb: line.sigmaDb ?? 0.2,
      floorDb,
      overFloorDb: 10 * Math.log10(10 ** ((line.db - floorDb) / 10) + 1),
      widthHz: half > 0 ? 2 * half * step : width,
      shape: half > 0 ? 'hump' : 'line',
      peakIndex,
      firstIndex: Math.max(0, peakIndex - skirt),
      lastIndex: Math.min(points - 1, peakIndex + skirt),
      crowded: false,
    });
    explanations.push(explain(line));
  }
  const trace: Trace = {
    label: '',
    frequencyHz,
    level: power.map((value) => 10 * Math.log10(value)),
    unit: { name: unit, scale: 'decibel', perHz: false },
    settings: { ...UNKNOWN_SETTINGS, rbwHz, averages, averaging: 'power', detector: 'rms', ...capture.settings },
  };
  const statistic = capture.statistic ?? 'chi-square';
  const spread = (10 / Math.LN10) * Math.sqrt(1 / averages + 1 / (2 * averages * averages));
  return {
    trace,
    levelDb: trace.level,
    triage: {
      settings: DEFAULT_TRIAGE_SETTINGS,
      floor: {
        meanDb: new Float64Array(points).fill(floorDb),
        sigmaDb: 0.05,
        medianOverMeanDb: 0,
        thresholdDb: new Float64Array(points).fill(floorDb + 5 * spread),
        pairThresholdOverFloorDb: 5 * spread,
        looks: averages,
        neighbourCorrelation: 0,
        statistic,
        averages: statistic === 'chi-square' ? averages : null,
        pointSpreadDb: spread,
        windowPoints: 151,
        falseAlarmProbability: 1e-6,
        falseAlarmsExpected: 0.01,
        weakestDetectableOverFloorDb: 5 * spread,
        why: '',
        warnings: [],
      },
      spurs,
      explanations,
      combs: combsOf(capture.lines),
      notSeen: [],
      warnings: [],
    },
    condition: capture.condition === undefined ? null : { ...SILENT, ...capture.condition },
    file: capture.file ?? 'hand.csv',
  };
}

function explain(line: HandLine): LineExplanation {
  if (line.harmonic === undefined) return { cause: 'unexplained', candidates: [], why: '' };
  const candidate = {
    source: line.source ?? null,
    harmonic: line.harmonic,
    predictedHz: line.hz,
    predictedSigmaHz: 10,
    chance: 1e-6,
  };
  return { cause: line.source === undefined ? 'unknown-comb' : 'source', candidates: [candidate], why: '' };
}

/** One comb a source; lines with a harmonic but no source are one unknown comb. */
function combsOf(lines: readonly HandLine[]): Comb[] {
  const names = [...new Set(lines.filter((line) => line.harmonic !== undefined).map((line) => line.source ?? null))];
  return names.map((source) => {
    const own = lines.filter((line) => line.harmonic !== undefined && (line.source ?? null) === source);
    return {
      source,
      fundamentalHz: own.reduce((sum, line) => sum + line.hz / line.harmonic!, 0) / own.length,
      fundamentalSigmaHz: 5,
      harmonicsSeen: own.map((line) => line.harmonic!),
      harmonicsExpected: own.map((line) => line.harmonic!),
      chance: 1e-6,
      couldAlsoBe: [],
    };
  });
}

const SILENT: Condition = silentCondition('hand.csv');

export function handSource(designator: string, nominalHz: number, more: Partial<Source> = {}): Source {
  return {
    designator,
    kind: 'converter',
    nominalHz,
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
    ...more,
  };
}
