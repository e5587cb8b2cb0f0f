import { expect, test } from 'vitest';
import { partsOf, sumParts, type PartsWork } from '../../../src-main/engine/spectrum/sum-parts.ts';
import { AveragedPeriodogram } from '../../../src-main/engine/spectrum/averaged-periodogram.ts';
import { isTooShort, planSegments, type SegmentPlan } from '../../../src-main/engine/spectrum/plan-segments.ts';
import { windowWeights } from '../../../src-main/engine/spectrum/windows.ts';
import { record } from './records.ts';

function planOf(samples: number, points: number, overlap: number): SegmentPlan {
  const plan = planSegments(samples, 1, { window: 'rectangular', rbwHz: 1 / points, overlap });
  if (isTooShort(plan)) throw new Error(plan.found);
  return plan;
}

test.each([
  [1000, 100, 0],
  [1000, 100, 0.5],
  [5003, 64, 0.75],
  [100_000, 50, 0.66],
  [130, 100, 0.5],
])(
  '%i samples in windows of %i, overlap %f: parts hold every segment once, in order, and every sample is counted once',
  (samples, points, overlap) => {
    const plan = planOf(samples, points, overlap);
    const parts = partsOf([{ from: 7, count: samples }], plan);
    expect(parts.length).toBeLessThanOrEqual(16);
    let [segments, counted] = [0, 0];
    for (const { stretches, sharedSamples } of parts) {
      expect(stretches).toHaveLength(1);
      const [{ from, count }] = stretches as [(typeof stretches)[number]];
      expect(from).toBe(7 + segments * plan.stepPoints);
      segments += (count - plan.windowPoints) / plan.stepPoints + 1;
      counted += count - sharedSamples;
    }
    expect(segments).toBe(plan.segments);
    expect(counted).toBe(plan.samplesUsed);
  },
);

test('gates stay one part, and those too short for a window are left out', () => {
  const plan = planOf(1000, 100, 0.5);
  expect(partsOf([{ from: 0, count: 99 }], plan)).toEqual([]);
  expect(
    partsOf(
      [
        { from: 0, count: 99 },
        { from: 200, count: 170 },
        { from: 500, count: 100 },
      ],
      plan,
    ),
  ).toEqual([
    {
      stretches: [
        { from: 200, count: 150 },
        { from: 500, count: 100 },
      ],
      sharedSamples: 0,
    },
  ]);
});

test.each([false, true])(
  'the parts together give what one stream gives (I/Q: %s), and full scale is counted once',
  (complex) => {
    const made = record({
      samples: 20_000,
      sampleRateHz: 1,
      complex,
      noise: 1,
      tones: [{ frequencyHz: 0.11, peak: 1 }],
      fullScale: 2.2,
    });
    const plan = planOf(20_000, 256, 0.5);
    const work: PartsWork = {
      recording: made,
      channel: 0,
      window: 'hann',
      plan,
      parts: partsOf([{ from: 0, count: 20_000 }], plan),
      file: 'a.wav',
    };
    expect(work.parts.length).toBeGreaterThan(10);
    let told = 0;
    const { sums, clipped } = sumParts(work, null, (samples) => (told += samples));
    const [held] = made.samples.kind === 'held' ? made.samples.channels : [];
    const { real, imaginary } = held!;
    const one = new AveragedPeriodogram(plan, windowWeights('hann', 256), complex);
    one.push(real, imaginary);
    const whole = one.sums();
    expect(sums.segments).toBe(whole.segments);
    for (const [k, p] of whole.power.entries()) expect(sums.power[k]! / p).toBeCloseTo(1, 12);
    for (const [k, p] of whole.mirrorRe.entries())
      expect(Math.abs(sums.mirrorRe[k]! - p) / whole.power[k]!).toBeLessThan(1e-12);
    let expected = 0;
    for (const x of [real, imaginary ?? []])
      for (const v of x.slice(0, plan.samplesUsed)) if (Math.abs(v) >= 2.2) expected++;
    expect(clipped).toBe(expected);
    expect(expected).toBeGreaterThan(10);
    expect(told).toBe(work.parts.flatMap(({ stretches }) => stretches).reduce((sum, { count }) => sum + count, 0));
  },
);
