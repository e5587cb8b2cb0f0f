import type { CaptureSettings } from '../../../src-main/model/capture.ts';
import { UNKNOWN_SETTINGS } from '../../../src-main/model/capture.ts';
import type { Trace } from '../../../src-main/model/trace.ts';
import { seededNormal } from './seeded-random.ts';

/** A steady line as it truly is. */
export interface TrueLine {
  readonly frequencyHz: number;
  readonly levelDb: number;
}

export interface BenchOptions {
  readonly startHz: number;
  readonly stopHz: number;
  readonly points: number;
  readonly rbwHz: number;
  readonly averages: number;
  /** Mean noise power in the bandwidth at a frequency, dB. */
  readonly floorDb: (frequencyHz: number) => number;
  readonly lines: readonly TrueLine[];
  readonly random: () => number;
  readonly settings?: Partial<CaptureSettings>;
  readonly unit?: string;
}

/**
 * A power-averaged spectrum as the physics has it: at every point the Gaussian filter's response to each line as a phasor, complex
 * noise on top, powers averaged over the sweeps. Nothing of the engine in it.
 */
export function simulateTrace(options: BenchOptions): Trace {
  const { startHz, stopHz, points, rbwHz, averages, random } = options;
  const normal = seededNormal(random);
  const step = (stopHz - startHz) / (points - 1);
  const frequencyHz = Float64Array.from({ length: points }, (_, i) => startHz + i * step);
  const amplitude = new Float64Array(points);
  for (const line of options.lines) {
    const peak = 10 ** (line.levelDb / 20);
    const reach = 3 * rbwHz;
    const first = Math.max(0, Math.ceil((line.frequencyHz - reach - startHz) / step));
    const last = Math.min(points - 1, Math.floor((line.frequencyHz + reach - startHz) / step));
    for (let i = first; i <= last; i++) {
      const x = (frequencyHz[i]! - line.frequencyHz) / rbwHz;
      // power falls to one half at x = 1/2
      const response = peak * 2 ** (-2 * x * x);
      amplitude[i] = Math.hypot(amplitude[i]!, response);
    }
  }
  const level = new Float64Array(points);
  for (let i = 0; i < points; i++) {
    const noise = Math.sqrt(10 ** (options.floorDb(frequencyHz[i]!) / 10) / 2);
    let power = 0;
    for (let k = 0; k < averages; k++) {
      const re = amplitude[i]! + noise * normal();
      const im = noise * normal();
      power += re * re + im * im;
    }
    level[i] = 10 * Math.log10(power / averages);
  }
  return {
    label: '',
    frequencyHz,
    level,
    unit: { name: options.unit ?? 'dBm', scale: 'decibel', perHz: false },
    settings: { ...UNKNOWN_SETTINGS, rbwHz, averages, averaging: 'power', detector: 'rms', ...options.settings },
  };
}
