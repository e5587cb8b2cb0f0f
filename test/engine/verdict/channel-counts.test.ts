import { expect, test } from 'vitest';
import type { Band } from '../../../src-main/model/band.ts';
import { seededRandom } from '../tracking/seeded-random.ts';
import { handBand } from './bands.ts';
import { judged, shot } from './build-scene.ts';

/**
 * Brute force, written apart from the engine: every channel against every line and every way into the receiver. A line of −60 dBm
 * exceeds the −80 dBm allowed, one of −95 does not; frequencies are exact.
 */
function bruteForce(band: Band, lines: readonly { hz: number; db: number }[]): number {
  const lowest = band.lowHz;
  const origin = band.channelOriginHz ?? lowest;
  const width = band.channelHz!;
  const edges: [number, number][] = [];
  for (let k = -3000; k < 3000; k++) {
    const [from, to] = [origin + k * width, origin + (k + 1) * width];
    if (to > band.lowHz + 1e-6 && from < band.highHz - 1e-6)
      edges.push([Math.max(from, band.lowHz), Math.min(to, band.highHz)]);
  }
  const baseband = (hz: number) => {
    const mixed = Math.abs(hz - (band.localOscillatorHz ?? 0));
    if (band.sampleRateHz === null) return mixed;
    const rest = mixed % band.sampleRateHz;
    return Math.min(rest, band.sampleRateHz - rest);
  };
  let spoiled = 0;
  for (const [from, to] of edges) {
    const hit = lines.some(({ hz, db }) => {
      if (db < -80) return false;
      if (from <= hz && hz <= to) return true;
      if (band.localOscillatorHz === null && band.sampleRateHz === null) return false;
      // is there a frequency of this channel that comes out where the line does?
      const at = baseband(hz);
      const steps = [0, 1].flatMap((sign) =>
        Array.from({ length: 9 }, (_, k) => (band.sampleRateHz ?? 0) * k + (sign === 0 ? at : -at)),
      );
      const o = band.localOscillatorHz ?? 0;
      return steps.some((step) => [o + step, o - step].some((g) => from - 1e-6 <= g && g <= to + 1e-6));
    });
    if (hit) spoiled++;
  }
  return spoiled;
}

test('channel counts are those of an independent brute force: grids, origins, edges, folds and images', () => {
  const random = seededRandom(66);
  for (let trial = 0; trial < 60; trial++) {
    const lines = Array.from({ length: 25 }, () => ({
      hz: 1.1e6 + 1e3 * Math.round(9.8e3 * random()),
      db: random() < 0.6 ? -60 : -95,
      sigmaHz: 0,
    }));
    const band = handBand({
      lowHz: 2e6,
      highHz: 3e6,
      channelHz: [7e3, 10e3, 20e3, 33e3][trial % 4]!,
      channelOriginHz: random() < 0.5 ? null : 1e3 * Math.round(4000 * random()),
      allowedOverFloorDb: null,
      allowedLevel: -80,
      allowedUnit: 'dBm',
      sampleRateHz: trial % 3 === 1 ? 10e6 : null,
      localOscillatorHz: trial % 3 === 2 ? 4.7e6 : null,
    });
    const capture = shot(1, { lines, points: 20_001, rbwHz: 1e3, averages: 400 });
    const [cost] = judged([capture], { bands: [band] }).costs;
    expect(cost!.spoiled + cost!.doubtful, `trial ${trial}`).toBe(bruteForce(band, lines));
    expect(cost!.clean + cost!.spoiled + cost!.doubtful + cost!.unknown).toBe(cost!.channels);
  }
});
