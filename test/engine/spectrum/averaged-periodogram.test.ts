import { describe, expect, test } from 'vitest';
import { addSums, AveragedPeriodogram } from '../../../src-main/engine/spectrum/averaged-periodogram.ts';
import { isTooShort, planSegments, type SegmentPlan } from '../../../src-main/engine/spectrum/plan-segments.ts';
import { spectrumPowers } from '../../../src-main/engine/spectrum/spectrum-powers.ts';
import { windowWeights } from '../../../src-main/engine/spectrum/windows.ts';
import type { WindowName } from '../../../src-main/model/spectrum-settings.ts';
import { hasScipy, NO_SCIPY, python } from '../../scipy.ts';
import { seeded } from '../attribution/scene.ts';

const RATE = 1000;

function planOf(window: WindowName, points: number, overlap: number, samples: number): SegmentPlan {
  const { enbwBins } = planned(samples, { window, rbwHz: null, overlap });
  return planned(samples, { window, rbwHz: (enbwBins * RATE) / points, overlap });
}

function planned(samples: number, settings: Parameters<typeof planSegments>[2]): SegmentPlan {
  const plan = planSegments(samples, RATE, settings);
  if (isTooShort(plan)) throw new Error(plan.found);
  return plan;
}

function noise(samples: number, seed: number): Float64Array {
  const { normal } = seeded(seed);
  return Float64Array.from({ length: samples }, (_, n) => normal() + 2 * Math.cos(0.61 * n));
}

function run(plan: SegmentPlan, window: WindowName, real: Float64Array, imaginary: Float64Array | null, piece = 777) {
  const periodogram = new AveragedPeriodogram(plan, windowWeights(window, plan.windowPoints), imaginary !== null);
  for (let at = 0; at < real.length; at += piece)
    periodogram.push(real.subarray(at, at + piece), imaginary?.subarray(at, at + piece) ?? null);
  return periodogram.sums();
}

describe.skipIf(!hasScipy)(`against scipy.signal.welch${hasScipy ? '' : ` (skipped: ${NO_SCIPY})`}`, () => {
  const SCIPY_NAMES: Readonly<Record<string, string>> = {
    rectangular: 'boxcar',
    'blackman-harris': 'blackmanharris',
    'flat-top': 'flattop',
  };
  const windows = ['rectangular', 'hann', 'hamming', 'blackman', 'blackman-harris', 'nuttall', 'flat-top'] as const;
  const cases = windows.flatMap((window) =>
    (
      [
        [64, 0.5],
        [100, 0.25],
        [333, 0.75],
        [1024, 0],
      ] as const
    ).flatMap(([points, overlap]) => [false, true].map((complex) => ({ window, points, overlap, complex }))),
  );

  test('agrees to 1e-6 for every window, length, overlap, real and I/Q, as power and as density', () => {
    const samples = 5003;
    const real = noise(samples, 3);
    const imaginary = noise(samples, 4);
    const asked = cases.map(({ window, points, overlap, complex }) => {
      const plan = planOf(window, points, overlap, samples);
      expect(plan.windowPoints).toBe(points);
      return { window: SCIPY_NAMES[window] ?? window, points, step: plan.stepPoints, n: plan.transformPoints, complex };
    });
    const theirs = python<{ spectrum: number[]; density: number[] }[]>(
      { real: [...real], imaginary: [...imaginary], asked },
      `
import numpy as np, scipy.signal as s
re = np.array(data['real']); im = np.array(data['imaginary'])
out = []
for c in data['asked']:
    x = re + 1j * im if c['complex'] else re
    one = {}
    for scaling in ('spectrum', 'density'):
        f, p = s.welch(x, fs=${RATE}, window=c['window'], nperseg=c['points'], noverlap=c['points'] - c['step'], nfft=c['n'],
                       detrend=False, return_onesided=not c['complex'], scaling=scaling)
        one[scaling] = list(np.fft.fftshift(p) if c['complex'] else p)
    out.append(one)
print(json.dumps(out))`,
    );
    let worst = 0;
    for (const [i, { window, points, overlap, complex }] of cases.entries()) {
      const plan = planOf(window, points, overlap, samples);
      const sums = run(plan, window, real, complex ? imaginary : null);
      const { meanSquare } = spectrumPowers(sums, windowWeights(window, points), RATE, complex);
      // of an I/Q record the mean square is that of the carrier, half of |z|²
      const factor = complex ? 2 : 1;
      for (const [k, mine] of meanSquare.entries()) {
        worst = Math.max(worst, Math.abs((mine * factor) / theirs[i]!.spectrum[k]! - 1));
        worst = Math.max(worst, Math.abs((mine * factor) / plan.rbwHz / theirs[i]!.density[k]! - 1));
      }
    }
    expect(worst).toBeLessThan(1e-6);
  });
});

describe('AveragedPeriodogram', () => {
  test('a segment of four-point arithmetic done by hand: [1, 0, −1, 0 …] has its power in the quarter bins', () => {
    const plan = planOf('rectangular', 16, 0, 16);
    const x = Float64Array.from({ length: 16 }, (_, n) => [1, 0, -1, 0][n % 4]!);
    const { power, segments } = run(plan, 'rectangular', x, null);
    expect(segments).toBe(1);
    // X[4] = Σ cos²(πn/2) = 8, so 64 at bins 4 and 12
    expect([...power].map((p) => Math.round(p * 1e9) / 1e9)).toEqual(
      Array.from({ length: 16 }, (_, k) => (k === 4 || k === 12 ? 64 : 0)),
    );
  });

  test.each([
    ['real', false],
    ['I/Q', true],
  ])('%s: agrees with sums of sines and cosines, written out', (_, complex) => {
    const plan = planOf('blackman', 24, 0.5, 100);
    const re = noise(100, 5);
    const im = complex ? noise(100, 6) : null;
    const weights = windowWeights('blackman', 24);
    const { power, segments } = run(plan, 'blackman', re, im);
    for (let k = 0; k < plan.transformPoints; k++) {
      let expected = 0;
      for (let s = 0; s < segments; s++) {
        let [a, b] = [0, 0];
        for (let n = 0; n < 24; n++) {
          const angle = (-2 * Math.PI * k * n) / plan.transformPoints;
          const [x, y] = [re[s * 12 + n]! * weights[n]!, (im?.[s * 12 + n] ?? 0) * weights[n]!];
          a += x * Math.cos(angle) - y * Math.sin(angle);
          b += x * Math.sin(angle) + y * Math.cos(angle);
        }
        expected += a * a + b * b;
      }
      expect(power[k]! / expected).toBeCloseTo(1, 9);
    }
  });

  test('the cut of the stream into pieces changes nothing, to the last bit', () => {
    const plan = planOf('hann', 100, 0.75, 3000);
    const [re, im] = [noise(3000, 8), noise(3000, 9)];
    for (const piece of [1, 99, 100, 101, 3000]) {
      expect(run(plan, 'hann', re, im, piece)).toEqual(run(plan, 'hann', re, im, 500));
      expect(run(plan, 'hann', re, null, piece)).toEqual(run(plan, 'hann', re, null, 500));
    }
  });

  test('two stretches that meet at a segment give together what one stream gives', () => {
    const plan = planOf('hann', 64, 0.5, 64 + 32 * 39);
    const [re, im] = [noise(plan.samplesUsed, 8), noise(plan.samplesUsed, 9)];
    const whole = run(plan, 'hann', re, im);
    // 40 segments: the first 20 end at sample 64 + 19·32, the other 20 begin at 20·32
    const first = run(plan, 'hann', re.subarray(0, 64 + 19 * 32), im.subarray(0, 64 + 19 * 32));
    const second = run(plan, 'hann', re.subarray(20 * 32), im.subarray(20 * 32));
    const both = addSums(first, second);
    expect(both.segments).toBe(whole.segments);
    for (const [k, p] of whole.power.entries()) expect(both.power[k]! / p).toBeCloseTo(1, 12);
  });

  test('white noise keeps its power: the mean over the bins is Σw² a segment (Parseval)', () => {
    const plan = planOf('hamming', 256, 0.5, 50_000);
    const { normal } = seeded(11);
    const x = Float64Array.from({ length: 50_000 }, normal);
    const { power, segments } = run(plan, 'hamming', x, null);
    const weights = windowWeights('hamming', 256);
    const square = weights.reduce((sum, w) => sum + w * w, 0);
    const mean = power.reduce((a, b) => a + b, 0) / power.length / segments;
    expect(Math.abs(10 * Math.log10(mean / square))).toBeLessThan(0.05);
  });

  test('a segment with a sample that is no number is left out and counted', () => {
    const plan = planOf('hann', 64, 0, 640);
    const x = noise(640, 12);
    const clean = run(plan, 'hann', x.slice(64), null);
    x[10] = NaN;
    const sums = run(plan, 'hann', x, null);
    expect(sums.brokenSegments).toBe(1);
    expect(sums.segments).toBe(9);
    for (const [k, p] of clean.power.entries()) expect(sums.power[k]! / p).toBeCloseTo(1, 9);
    x[10] = Infinity;
    expect(run(plan, 'hann', x, null).brokenSegments).toBe(1);
  });
});
