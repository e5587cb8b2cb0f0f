import { seeded } from '../engine/attribution/scene.ts';

/** A mono or I/Q WAV of 32-bit floats: tones and white noise from a seed. */
export function wav(parts: {
  readonly samples: number;
  readonly sampleRateHz: number;
  readonly channels?: 1 | 2;
  readonly tones?: readonly { readonly frequencyHz: number; readonly peak: number }[];
  readonly noise?: number;
  readonly seed?: number;
}): Uint8Array {
  const { samples, sampleRateHz, channels = 1, tones = [], noise = 0 } = parts;
  const { normal } = seeded(parts.seed ?? 1);
  const dataBytes = samples * channels * 4;
  const bytes = new Uint8Array(44 + dataBytes);
  const view = new DataView(bytes.buffer);
  const words = (at: number, text: string): void => {
    for (let i = 0; i < text.length; i++) bytes[at + i] = text.charCodeAt(i);
  };
  words(0, 'RIFF');
  view.setUint32(4, 36 + dataBytes, true);
  words(8, 'WAVEfmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, 3, true);
  view.setUint16(22, channels, true);
  view.setUint32(24, sampleRateHz, true);
  view.setUint32(28, sampleRateHz * channels * 4, true);
  view.setUint16(32, channels * 4, true);
  view.setUint16(34, 32, true);
  words(36, 'data');
  view.setUint32(40, dataBytes, true);
  const sigma = Math.sqrt(noise / channels);
  for (let n = 0; n < samples; n++) {
    const values = [sigma * normal(), channels === 2 ? sigma * normal() : 0];
    for (const { frequencyHz, peak } of tones) {
      const angle = 2 * Math.PI * ((frequencyHz / sampleRateHz) * n);
      values[0]! += peak * Math.cos(angle);
      values[1]! += peak * Math.sin(angle);
    }
    for (let c = 0; c < channels; c++) view.setFloat32(44 + 4 * (n * channels + c), values[c]!, true);
  }
  return bytes;
}
