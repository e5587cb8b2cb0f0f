import { describe, expect, test } from 'vitest';
import { effectiveAverages } from '../../../src-main/engine/spectrum/effective-averages.ts';
import { isTooShort, planSegments, type SegmentPlan } from '../../../src-main/engine/spectrum/plan-segments.ts';
import { windowWeights } from '../../../src-main/engine/spectrum/windows.ts';
import { seeded } from '../attribution/scene.ts';

const planned = (...argument: Parameters<typeof planSegments>): SegmentPlan => {
  const plan = planSegments(...argument);
  if (isTooShort(plan)) throw new Error(plan.found);
  return plan;
};

describe('effectiveAverages(weights, segments, step)', () => {
  test('100 half-overlapping Hann segments are worth 94.79 (Welch 1967, power correlation 1/36)', () => {
    expect(effectiveAverages(windowWeights('hann', 4096), 100, 2048)).toBeCloseTo(94.79, 2);
  });

  test('without overlap every segment counts, and one is one', () => {
    expect(effectiveAverages(windowWeights('flat-top', 64), 37, 64)).toBe(37);
    expect(effectiveAverages(windowWeights('hann', 64), 1, 32)).toBe(1);
  });

  test('segments on top of each other are worth hardly more than their stretch without overlap', () => {
    const weights = windowWeights('hann', 256);
    const few = effectiveAverages(weights, 100, 128);
    const many = effectiveAverages(weights, 100 * 16, 8);
    expect(many).toBeGreaterThan(few);
    expect(many).toBeLessThan(2.2 * few);
  });

  test.each([
    ['hann', 0.5],
    ['hann', 0.75],
    ['flat-top', 0.75],
    ['rectangular', 0.5],
  ] as const)(
    '%s at overlap %f: the scatter of white noise in one bin is that of so many averages',
    (window, overlap) => {
      const points = 32;
      const step = points * (1 - overlap);
      const segments = 12;
      const weights = windowWeights(window, points);
      const { normal } = seeded(7);
      let [sum, square] = [0, 0];
      const trials = 6000;
      for (let t = 0; t < trials; t++) {
        const x = Float64Array.from({ length: points + (segments - 1) * step }, normal);
        const y = x.map(normal);
        let power = 0;
        for (let s = 0; s < segments; s++) {
          let [re, im] = [0, 0];
          for (let n = 0; n < points; n++) {
            const angle = (2 * Math.PI * 5 * n) / points;
            const [c, d] = [Math.cos(angle), Math.sin(angle)];
            re += weights[n]! * (x[s * step + n]! * c + y[s * step + n]! * d);
            im += weights[n]! * (y[s * step + n]! * c - x[s * step + n]! * d);
          }
          power += re * re + im * im;
        }
        sum += power;
        square += power * power;
      }
      const mean = sum / trials;
      const looks = mean ** 2 / (square / trials - mean ** 2);
      // the variance of 6000 trials is itself known to about 3 %; four standard deviations are allowed
      expect(looks / effectiveAverages(weights, segments, step)).toBeGreaterThan(0.88);
      expect(looks / effectiveAverages(weights, segments, step)).toBeLessThan(1.12);
    },
  );
});

describe('planSegments(samples, rate, settings)', () => {
  const hann = { window: 'hann', overlap: 0.5 } as const;

  test('an RBW of 15 Hz with Hann at 48 kHz is a window of 4800 samples: RBW = ENBW·fs/N', () => {
    const plan = planned(480_000, 48_000, { ...hann, rbwHz: 15 });
    expect(plan).toMatchObject({ windowPoints: 4800, transformPoints: 8192, stepPoints: 2400, segments: 199 });
    expect(plan.rbwHz).toBeCloseTo(15, 9);
    expect(plan.spacingHz).toBeCloseTo(48_000 / 8192, 9);
    expect(plan.effectiveAverages).toBeCloseTo(199 / (1 + (2 / 36) * (198 / 199)), 3);
  });

  test('without a wish it takes the largest power of two that leaves 64 averages, fewer of a short record and 256 samples at least', () => {
    expect(planned(2 ** 20, 1e6, { ...hann, rbwHz: null })).toMatchObject({ windowPoints: 2 ** 14, segments: 127 });
    expect(planned(2 ** 16, 1e6, { ...hann, rbwHz: null })).toMatchObject({ windowPoints: 2 ** 12, segments: 31 });
    expect(planned(600, 1e6, { ...hann, rbwHz: null }).windowPoints).toBe(256);
    expect(planned(100, 1e6, { ...hann, rbwHz: null }).windowPoints).toBe(64);
    expect(planned(1e12, 1e9, { ...hann, rbwHz: null }).windowPoints).toBe(2 ** 18);
  });

  test('uses only samples that are there, for any overlap', () => {
    for (const overlap of [0, 0.1, 0.5, 0.66, 0.75, 0.95])
      for (const samples of [4800, 4801, 9999, 123_457]) {
        const plan = planned(samples, 48_000, { window: 'hann', overlap, rbwHz: 15 });
        expect(plan.samplesUsed).toBeLessThanOrEqual(samples);
        expect(plan.samplesUsed + plan.stepPoints).toBeGreaterThan(samples);
      }
  });

  test('says how long a record must be, and what this one can resolve, where it is too short', () => {
    const short = planSegments(24_000, 48_000, { ...hann, rbwHz: 1 });
    expect(short).toEqual({
      found: '0.5 s of record',
      expected: 'at least 1.5 s to resolve 1 Hz with this window',
      wayOut: 'Ask for an RBW of 3 Hz or wider, or record longer.',
    });
  });

  test.each([
    ['an RBW so wide that hardly a sample is left under a window', 1e5, 48_000, 20_000],
    ['an RBW so fine that the transform cannot be held', 1e12, 1e9, 1],
    ['fifteen samples', 15, 48_000, null],
  ])('refuses %s', (_, samples, rate, rbwHz) => {
    expect(isTooShort(planSegments(samples, rate, { ...hann, rbwHz }))).toBe(true);
  });
});
