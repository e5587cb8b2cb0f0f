import type { CaptureSettings } from '../../../src-main/model/capture.ts';
import { UNKNOWN_SETTINGS } from '../../../src-main/model/capture.ts';
import { seeded } from '../attribution/scene.ts';

export interface Sweep {
  readonly frequencyHz: Float64Array;
  readonly levelDb: Float64Array;
  readonly settings: CaptureSettings;
  /** True mean noise power at a point. */
  readonly floorDb: (i: number) => number;
}

/**
 * A swept spectrum from its parts: steady lines through a Gaussian filter and complex noise, added as amplitudes in every
 * sweep, then averaged.
 */
export function sweep(options: {
  readonly seed: number;
  readonly points: number;
  /** Points per resolution bandwidth. */
  readonly pointsPerRbw?: number;
  readonly sweeps: number;
  readonly averaging?: 'power' | 'log' | 'max-hold';
  readonly lines?: readonly { readonly at: number; readonly overFloorDb: number }[];
  readonly floorDb?: (i: number) => number;
}): Sweep {
  const { points, sweeps, pointsPerRbw = 1.5, averaging = 'power', lines = [], floorDb = () => -100 } = options;
  const { uniform, normal } = seeded(options.seed);
  const spacingHz = 1000;
  const sum = new Float64Array(points);
  for (let s = 0; s < sweeps; s++) {
    const re = Float64Array.from({ length: points }, () => normal() * Math.SQRT1_2);
    const im = Float64Array.from({ length: points }, () => normal() * Math.SQRT1_2);
    for (const { at, overFloorDb } of lines) {
      const phase = 2 * Math.PI * uniform();
      const amplitude = 10 ** (overFloorDb / 20);
      const reach = 4 * pointsPerRbw;
      for (let i = Math.max(0, Math.ceil(at - reach)); i <= Math.min(points - 1, at + reach); i++) {
        const g = amplitude * Math.exp(-2 * Math.LN2 * ((i - at) / pointsPerRbw) ** 2);
        re[i]! += g * Math.cos(phase);
        im[i]! += g * Math.sin(phase);
      }
    }
    for (let i = 0; i < points; i++) {
      const power = re[i]! ** 2 + im[i]! ** 2;
      if (averaging === 'power') sum[i]! += power / sweeps;
      else if (averaging === 'log') sum[i]! += (10 * Math.log10(power)) / sweeps;
      else sum[i] = Math.max(sum[i]!, power);
    }
  }
  return {
    frequencyHz: Float64Array.from({ length: points }, (_, i) => 1e6 + i * spacingHz),
    levelDb: sum.map((v, i) => floorDb(i) + (averaging === 'log' ? v : 10 * Math.log10(v))),
    settings: { ...UNKNOWN_SETTINGS, rbwHz: pointsPerRbw * spacingHz, averages: sweeps, averaging, detector: 'sample' },
    floorDb,
  };
}
