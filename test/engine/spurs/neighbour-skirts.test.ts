import { describe, expect, test } from 'vitest';
import { describeSpur, type TraceFrame } from '../../../src-main/engine/spurs/describe-spur.ts';
import { filterResponse } from '../../../src-main/engine/spurs/line-shape.ts';
import { withoutNeighbours } from '../../../src-main/engine/spurs/neighbour-skirts.ts';
import type { Peak } from '../../../src-main/engine/spurs/pick-peaks.ts';
import type { Floor } from '../../../src-main/model/floor.ts';

const POINTS = 120;
const WIDTH_HZ = 1500;
const NONE_UNSEEN = Float64Array.from([1, 1]);

/** Noise-free lines of four-pole shape at 1 kHz spacing, each with the peak point that is nearest. */
function scene(lines: readonly { readonly hz: number; readonly power: number }[]): {
  frame: TraceFrame;
  peaks: Peak[];
} {
  const frequencyHz = Float64Array.from({ length: POINTS }, (_, i) => i * 1000);
  const ratio = frequencyHz.map((f) =>
    lines.reduce((sum, { hz, power }) => sum + power * filterResponse(f - hz, WIDTH_HZ, 'four-pole'), 1),
  );
  const floor: Floor = {
    meanDb: new Float64Array(POINTS),
    sigmaDb: 0.05,
    thresholdDb: new Float64Array(POINTS).fill(3),
    pairThresholdOverFloorDb: 2,
    medianOverMeanDb: 0,
    looks: 32,
    neighbourCorrelation: 0,
    statistic: 'chi-square',
    averages: 32,
    pointSpreadDb: 0.77,
    windowPoints: 101,
    falseAlarmProbability: 1e-6,
    falseAlarmsExpected: 0.05,
    weakestDetectableOverFloorDb: 3,
    why: '',
    warnings: [],
  };
  const frame: TraceFrame = {
    frequencyHz,
    ratio,
    floor,
    spacingHz: 1000,
    sparse: false,
    filter: { shape: 'four-pole', widthHz: WIDTH_HZ, doubt: 0.3, measuredHz: WIDTH_HZ },
    widthKnown: true,
    law: {
      ratioOf: (db) => 10 ** (db / 10),
      variance: (s) => (1 + 2 * s) / 32,
      held: false,
      meanDoubtDb: 0,
      powerCorrelation: (ofLevels) => ofLevels,
    },
    correlation: 0,
    rounding: 0,
    lossBetweenPoints: { meanDb: 0, sigmaDb: 0 },
    instabilityPpm: 0,
  };
  const peaks = lines.map(({ hz }) => {
    const peak = Math.round(hz / 1000);
    return { peak, first: peak - 1, last: peak + 1, crowded: false };
  });
  return { frame, peaks };
}

describe('withoutNeighbours(peaks, spurs, frame)', () => {
  const lines = [
    { hz: 50_200, power: 1e5 },
    { hz: 57_300, power: 100 },
  ];

  test('a weak line on the skirt of a strong one gets back its own power and place', () => {
    const { frame, peaks } = scene(lines);
    const alone = peaks.map((peak) => describeSpur(peak, frame));
    const cleaned = withoutNeighbours(peaks, alone, NONE_UNSEEN, frame);
    expect(Math.abs(alone[1]!.levelDb - 20)).toBeGreaterThan(0.3);
    expect(Math.abs(cleaned[1]!.levelDb - 20)).toBeLessThan(0.05);
    expect(Math.abs(cleaned[1]!.frequencyHz - 57_300)).toBeLessThan(10);
    // the strong one was right before and still is
    expect(cleaned[0]!.levelDb).toBeCloseTo(50, 2);
  });

  test('a held trace averages no beat away: a neighbour leaves more doubt than in averaged sweeps', () => {
    const { frame, peaks } = scene(lines);
    const held = { ...frame, law: { ...frame.law, held: true } };
    const doubt = (of: TraceFrame): number => {
      const alone = peaks.map((peak) => describeSpur(peak, of));
      return withoutNeighbours(peaks, alone, NONE_UNSEEN, of)[1]!.levelSigmaDb;
    };
    expect(doubt(held)).toBeGreaterThan(doubt(frame));
  });

  test('says how far two lines that beat with each other remain uncertain', () => {
    const { frame, peaks } = scene(lines);
    const alone = peaks.map((peak) => describeSpur(peak, frame));
    const [strong, weak] = withoutNeighbours(peaks, alone, NONE_UNSEEN, frame);
    // share ε of the strong line's skirt at the weak one; √(2ε/K) of its power stays open
    const share = (1e5 * filterResponse(7100, WIDTH_HZ, 'four-pole')) / 100;
    expect(weak!.levelSigmaDb).toBeGreaterThan(4.34 * Math.sqrt((2 * share) / 32));
    expect(weak!.frequencySigmaHz).toBeGreaterThan(5 * strong!.frequencySigmaHz);
  });

  test('of two lines that beat through a Gaussian filter, the peak leans by half of what the level beats by', () => {
    // amplitudes e^(−ax²/2) and √q·e^(−a(x−d)²/2)·cos φ: the peak of the sum of powers lies at √ε·cos φ·d, its level at 1 + 2√ε·cos φ
    const a = 4 * Math.LN2;
    const [d, q] = [1.6, 0.02];
    const power = (x: number, phase: number): number =>
      Math.exp(-a * x * x) +
      q * Math.exp(-a * (x - d) ** 2) +
      2 * Math.sqrt(q) * Math.exp((-a * (x * x + (x - d) ** 2)) / 2) * Math.cos(phase);
    const share = q * Math.exp(-a * d * d);
    for (const phase of [0.3, 1.2, 2.5]) {
      let top = 0;
      for (let x = -0.2; x < 0.2; x += 1e-5) if (power(x, phase) > power(top, phase)) top = x;
      const beat = 2 * Math.sqrt(share) * Math.cos(phase);
      expect(power(0, phase) - 1).toBeCloseTo(beat, 3);
      expect(top / d).toBeCloseTo(beat / 2, 3);
    }
  });

  test('leaves a line without neighbours, and the trace itself, as they were', () => {
    const { frame, peaks } = scene([{ hz: 60_400, power: 1000 }]);
    const before = frame.ratio.slice();
    const alone = peaks.map((peak) => describeSpur(peak, frame));
    expect(withoutNeighbours(peaks, alone, NONE_UNSEEN, frame)).toEqual(alone);
    const both = scene(lines);
    const original = both.frame.ratio.slice();
    withoutNeighbours(
      both.peaks,
      both.peaks.map((peak) => describeSpur(peak, both.frame)),
      NONE_UNSEEN,
      both.frame,
    );
    expect(both.frame.ratio).toEqual(original);
    expect(frame.ratio).toEqual(before);
  });

  test('a skirt is taken no higher than the valley between two lines shows', () => {
    const { frame, peaks } = scene(lines);
    // a filter with steeper skirts than believed: the points between stand at the floor
    for (let i = 53; i <= 55; i++) frame.ratio[i] = 1;
    for (const i of [56, 57, 58, 59])
      frame.ratio[i] = 1 + 100 * filterResponse(i * 1000 - 57_300, WIDTH_HZ, 'four-pole');
    const alone = peaks.map((peak) => describeSpur(peak, frame));
    expect(Math.abs(withoutNeighbours(peaks, alone, NONE_UNSEEN, frame)[1]!.levelDb - 20)).toBeLessThan(0.1);
  });
});
