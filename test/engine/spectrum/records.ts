import type { Recording } from '../../../src-main/model/recording.ts';
import { seeded } from '../attribution/scene.ts';

/** A line in a record: its frequency, its peak, and the phase it starts with. */
export interface Tone {
  readonly frequencyHz: number;
  readonly peak: number;
  readonly phase?: number;
}

export interface RecordParts {
  readonly samples: number;
  readonly sampleRateHz: number;
  readonly complex?: boolean;
  readonly tones?: readonly Tone[];
  /** Mean square of white noise over the whole band (of I and Q together). */
  readonly noise?: number;
  readonly seed?: number;
  readonly unit?: string;
  readonly fullScale?: number | null;
  readonly centreHz?: number | null;
  /** Share of conj(x) added: an I/Q imbalance. */
  readonly image?: number;
  readonly offset?: number;
}

/** A record held in memory: tones and white Gaussian noise from a seed. */
export function record(parts: RecordParts): Recording {
  const { samples, sampleRateHz, complex = false, tones = [], noise = 0, image = 0, offset = 0 } = parts;
  const { normal } = seeded(parts.seed ?? 1);
  const real = new Float64Array(samples);
  const imaginary = complex ? new Float64Array(samples) : null;
  const sigma = Math.sqrt(complex ? noise / 2 : noise);
  for (let n = 0; n < samples; n++) {
    let [re, im] = [sigma === 0 ? 0 : sigma * normal(), sigma === 0 || !complex ? 0 : sigma * normal()];
    for (const { frequencyHz, peak, phase = 0 } of tones) {
      const angle = 2 * Math.PI * ((frequencyHz / sampleRateHz) * n) + phase;
      re += peak * Math.cos(angle);
      if (complex) im += peak * Math.sin(angle);
    }
    real[n] = re * (1 + image) + offset;
    if (imaginary !== null) imaginary[n] = im * (1 - image);
  }
  return {
    label: '',
    complex,
    channels: [{ name: '', unit: parts.unit ?? 'FS', scale: 1, offset: 0, fullScale: parts.fullScale ?? null }],
    samples: { kind: 'held', channels: [{ real, imaginary }] },
    sampleCount: samples,
    sampleRateHz,
    centreHz: parts.centreHz ?? null,
    unevenness: null,
    takenAt: null,
    annotations: [],
    stated: [],
  };
}
